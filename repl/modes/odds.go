package modes

import (
	"errors"
	"math"
	"slices"

	"breakbook/models/odds"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// modeOdds is the odds of modes, fitted.
type modeOdds struct {
	*odds.Fit
	placed // by whether the specimens ended in the first mode but one
	column phrase.ColumnRef
	names  []string    // the modes, the one the others are compared with first
	codes  []int       // the mode of each specimen
	counts []int       // specimens of each mode
	all    bool        // all modes at once
	tenths bool        // numbers are told from their 10th to their 90th percentile
	ratios odds.Ratios // of what drove a mode, with Firth's penalty
	session.NotFound
}

// OddsOf tells what the chances of modes go with.
func OddsOf(k *session.Call, cmd *phrase.Odds) (*session.Outcome, error) {
	o, s, err := oddsOn(k, cmd)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	table, err := o.termTable(k, conf)
	if err != nil {
		return nil, err
	}
	contrasts, err := o.contrasts(k, conf)
	if err != nil {
		return nil, err
	}
	k.Entry.Tables = []page.Table{table}
	var mains []session.Answer
	k.Entry.Find(o.findings(contrasts)...)
	for _, c := range contrasts {
		mains = append(mains, session.Answer{Key: c.key, Gap: c.gap, Finding: c.finding})
	}
	if len(contrasts) > 0 {
		k.Entry.Find(o.byCounting(k, contrasts[0].gap.Answer.Differs()))
		k.Entry.Tables = append(k.Entry.Tables, o.contrastTable(contrasts, conf))
	}
	k.Entry.Find(page.Say("All terms together, tested against the same chances for all ", o.N,
		" specimens ("+o.column.Column+"): ", page.Chance(o.P), " by the likelihood ratio."))
	k.Entry.Values = o.values()
	k.Entry.Warn(o.cautions()...)
	known := append(o.Place.Columns(), o.column.Column)
	out := session.Tested(s, s.Mode(o.column.Column), known, mains)
	return out.Keeping(session.Result{Columns: o.Place.Columns(), Gaps: o.drawn(contrasts, conf)}), nil
}

// oddsOn fits the odds that a command asks for.
func oddsOn(k *session.Call, cmd *phrase.Odds) (*modeOdds, *session.Sample, error) {
	switch of := cmd.Subject.(type) {
	case phrase.OneMode:
		return oddsOne(k, of.Mode, cmd.Terms)
	case phrase.AllModes:
		return oddsAll(k, of, cmd.Terms)
	}
	return nil, nil, k.Unhandled()
}

// oddsOne fits what the chance of one mode, against all others, goes with.
func oddsOne(k *session.Call, mode phrase.Is, terms phrase.Terms) (*modeOdds, *session.Sample, error) {
	o := &modeOdds{column: mode.Column, names: []string{"not " + session.ModeName(mode), session.ModeName(mode)}}
	return oddsFor(k, o, terms, session.NamedLevels(mode), func(s *session.Sample) ([]int, error) {
		ended, err := session.Where(k.Context, s.Frame, mode)
		if err != nil {
			return nil, err
		}
		if n := count(ended); n == 0 || n == len(ended) {
			some := "all"
			if n == 0 {
				some = "none"
			}
			return nil, page.Refuse(page.CodeOneMode, mode.At, some+" of these specimens broke so ("+
				mode.Column.Column+" "+session.ModeName(mode)+"), and there are no odds to compare",
				k.OrWiden("name another level"))
		}
		return asCodes(ended), nil
	})
}

// asCodes has 1 for yes and 0 for no.
func asCodes(mask []bool) []int {
	codes := make([]int, len(mask))
	for i, is := range mask {
		if is {
			codes[i] = 1
		}
	}
	return codes
}

// oddsAll fits what the chances of all modes go with, each compared with one.
func oddsAll(k *session.Call, of phrase.AllModes, terms phrase.Terms) (*modeOdds, *session.Sample, error) {
	o := &modeOdds{column: of.Modes, all: true}
	var named []string
	if of.Against != nil {
		named = []string{of.Against.Level}
	}
	return oddsFor(k, o, terms, named, func(s *session.Sample) ([]int, error) {
		groups, err := k.Groups(s, make([]float64, s.Frame.Len()), o.column)
		if err != nil {
			return nil, err
		}
		if len(groups) < 2 {
			return nil, sameMode(k, o.column, groups[0].Level)
		}
		if against := of.Against; against != nil {
			at := slices.IndexFunc(groups, func(g session.Group) bool { return g.Level == against.Level })
			if at < 0 {
				return nil, page.Refuse(page.CodeNoSpecimens, against.At, "none of these specimens has "+
					o.column.Column+" "+against.Level, "against "+phrase.Spelled(groups[0].Level))
			}
			first := groups[at]
			groups = slices.Insert(slices.Delete(groups, at, at+1), 0, first)
		}
		var codes []int
		o.names, codes = session.LevelCodes(groups, s.Frame.Len())
		return codes, nil
	})
}

// sameMode is the problem of specimens that all failed in one way.
func sameMode(k *session.Call, mode phrase.ColumnRef, level string) error {
	return page.Refuse(page.CodeOneMode, mode.At, "all these specimens have the same "+mode.Column+", "+level,
		k.LookAtOrWiden(mode.Column))
}

// oddsFor fits the odds; asked are the modes that the question names, and coded gives the mode of each specimen.
func oddsFor(k *session.Call, o *modeOdds, terms phrase.Terms, asked []string,
	coded func(*session.Sample) ([]int, error)) (*modeOdds, *session.Sample, error) {
	b := session.FormulaOf(terms)
	if slices.Contains(b.Columns, o.column.Column) {
		return nil, nil, page.Refuse(page.CodeResponseAmongTerms, terms.At, o.column.Column+" cannot explain itself",
			"leave it out of the terms")
	}
	s, err := k.Broken(o.column, asked, b.Columns...)
	if err != nil {
		return nil, nil, err
	}
	codes, err := coded(s)
	if err != nil {
		return nil, nil, err
	}
	return o, s, o.fit(k, s, codes, b)
}

// fit fits the odds; the design, and what depends in it, is that of a least-squares fit.
func (o *modeOdds) fit(k *session.Call, s *session.Sample, codes []int, b session.Formula) error {
	r := s.Mode(o.column.Column)
	o.codes, o.counts = codes, make([]int, len(o.names))
	for i, code := range codes {
		o.counts[code]++
		if code == 1 {
			r.Values[i] = 1
		}
	}
	var columns [][]float64
	var err error
	if o.placed, columns, err = placedOn(k, s, r, b); err != nil {
		return err
	}
	o.Fit, err = odds.Solve(k.Context, odds.Sample{Columns: columns, Mode: codes, Modes: len(o.names)})
	if errors.Is(err, odds.ErrNoPeak) {
		return o.noPeak()
	}
	return err
}

// noPeak is the problem of odds that could not be fitted.
func (o *modeOdds) noPeak() error {
	return page.Refuse(page.CodeNoPeak, o.column.At, "the likelihood of these terms has no peak that could be reached",
		"leave terms out, or break more specimens")
}

// oddsTerm is a coefficient; of all modes at once the mode stands before it.
type oddsTerm struct {
	*oddsMode
	Term   string  `id:"term"`
	Effect float64 `id:"effect"`
	SE     float64 `id:"standard_error"`
	Ratio  float64 `id:"odds_ratio" style:"quotient"`
	Low    float64 `id:"low" style:"quotient"`
	High   float64 `id:"high" style:"quotient"`
	P      float64 `id:"p" style:"p"`
}

// oddsMode is the mode of a row where there are several.
type oddsMode struct {
	Mode string `id:"mode"`
}

// termTable has one row a coefficient: the baseline's is the odds of a baseline specimen.
func (o *modeOdds) termTable(k *session.Call, conf float64) (page.Table, error) {
	title := o.Place.Title()
	name := o.column.Column + " is " + o.names[1]
	if o.all {
		name = o.column.Column + " against " + o.names[0]
	}
	title[0] = page.Word("Odds of " + name + " on " + o.Place.TermList())
	t := page.Table{ID: "terms", Title: title, Note: page.Say("effect and standard error: log odds; low and high: ",
		page.Share(conf), " profile interval of the odds ratio")}
	var rows []oddsTerm
	for m := 1; m < len(o.names); m++ {
		for c, w := range o.coefficients() {
			none := page.None
			row := oddsTerm{Term: session.RowName(o.Place.Model(), c.Label), Effect: none, SE: none, Ratio: none,
				Low: none, High: none, P: none}
			if o.all {
				row.oddsMode = &oddsMode{o.names[m]}
			}
			if w != nil {
				e, err := o.Combination(k.Context, m, w, conf)
				if err = o.Of(row.Term, err); err != nil {
					return t, err
				}
				row.Effect, row.SE, row.Ratio, row.P = e.Value, e.SE, math.Exp(e.Value), e.P
				row.Low, row.High = math.Exp(e.Range.Low), math.Exp(e.Range.High)
			}
			rows = append(rows, row)
		}
	}
	return page.Filled(t, rows, nil), nil
}

// oddsFigures are the figures of the whole fit.
type oddsFigures struct {
	Method        string  `id:"method" label:"method"`
	N             int     `id:"n" label:"specimens"`
	LogLikelihood float64 `id:"log_likelihood" label:"log likelihood"`
	DF            int     `id:"df" label:"degrees of freedom" style:"df"`
	P             float64 `id:"p" label:"p of all terms together" style:"p"`
}

func (o *modeOdds) values() []page.Value {
	f := oddsFigures{"likelihood", o.N, o.LogLikelihood, o.DF, o.P}
	if o.Separated {
		f.Method = "penalised"
	}
	return page.ValuesOf(f, nil)
}

func (o *modeOdds) cautions() []page.Sentence {
	var out []page.Sentence
	if o.Separated {
		name := o.column.Column + " " + o.names[1]
		if o.all {
			name = "one " + o.column.Column
		}
		out = append(out, page.Say("Some levels or values separate "+name+" from the rest without exception, and the "+
			"plain likelihood would go on for ever. It was penalised (Firth 1993), which draws chances a little "+
			"towards even ones."))
	}
	for m, n := range o.counts {
		if n < fewBreaks {
			out = append(out, page.Say("In only ", n, say.Plural(n, " specimen ", " specimens ")+o.column.Column+
				" was "+o.names[m]+": one more or less could move these odds a long way."))
		}
	}
	out = append(out, o.NotFound.Cautions()...)
	return append(out, o.Place.DependentCautions()...)
}
