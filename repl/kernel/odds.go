package kernel

import (
	"errors"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/odds"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// modeOdds is the odds of modes, fitted.
type modeOdds struct {
	*odds.Fit
	place  *fitted // whether the specimens ended in the first mode but one, by least squares: for its design only
	kept   []int   // the coefficients of place that are fitted here
	column phrase.ColumnRef
	names  []string // the modes, the one the others are set against first
	counts []int    // specimens of each
	all    bool     // all modes at once
	unfound
}

// oddsOf tells what the chances of modes go with.
func oddsOf(k *call, cmd *phrase.Odds) (*outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.OneMode:
		return k.oddsOne(of.Mode, cmd.Terms)
	case phrase.AllModes:
		return k.oddsAll(of, cmd.Terms)
	}
	return nil, k.unhandled()
}

// oddsOne tells what the chance of one mode, against all others, goes with.
func (k *call) oddsOne(mode phrase.Is, terms phrase.Terms) (*outcome, error) {
	o := &modeOdds{column: mode.Column, names: []string{"not " + modeName(mode), modeName(mode)}}
	return k.oddsFor(o, terms, func(s *sample) ([]int, error) {
		ended, err := where(s.frame, mode)
		if err != nil {
			return nil, err
		}
		codes := make([]int, len(ended))
		for i, is := range ended {
			if is {
				codes[i] = 1
			}
		}
		if n := count(ended); n == 0 || n == len(ended) {
			some := "all"
			if n == 0 {
				some = "none"
			}
			return nil, &page.Problem{Code: "one-mode", At: mode.At, Message: some + " of these specimens broke so (" + mode.Column.Column + " " + modeName(mode) + "), and there are no odds to compare",
				Hint: "widen the condition after for, or name another level"}
		}
		return codes, nil
	})
}

// oddsAll tells what the chances of all modes go with, each set against one.
func (k *call) oddsAll(of phrase.AllModes, terms phrase.Terms) (*outcome, error) {
	o := &modeOdds{column: of.Modes, all: true}
	return k.oddsFor(o, terms, func(s *sample) ([]int, error) {
		groups, err := k.groups(s, make([]float64, s.frame.Len()), o.column)
		if err != nil {
			return nil, err
		}
		if len(groups) < 2 {
			return nil, &page.Problem{Code: "one-mode", At: o.column.At, Message: "all these specimens have the same " + o.column.Column + ", " + groups[0].level,
				Hint: "widen the condition after for"}
		}
		if against := of.Against; against != nil {
			at := slices.IndexFunc(groups, func(g group) bool { return g.level == against.Level })
			if at < 0 {
				return nil, &page.Problem{Code: "no-specimens", At: against.At, Message: "none of these specimens has " + o.column.Column + " " + against.Level,
					Hint: "against " + phrase.Spelled(groups[0].level)}
			}
			first := groups[at]
			groups = slices.Insert(slices.Delete(groups, at, at+1), 0, first)
		}
		codes := make([]int, s.frame.Len())
		for m, g := range groups {
			o.names = append(o.names, g.level)
			for _, row := range g.rows {
				codes[row] = m
			}
		}
		return codes, nil
	})
}

// oddsFor fits and tells the odds; coded gives the mode of each specimen.
func (k *call) oddsFor(o *modeOdds, terms phrase.Terms, coded func(*sample) ([]int, error)) (*outcome, error) {
	b := spelled(terms)
	if slices.Contains(b.columns, o.column.Column) {
		return nil, &page.Problem{Code: "response-among-terms", At: terms.At, Message: o.column.Column + " cannot explain itself", Hint: "leave it out of the terms"}
	}
	s, err := k.sample(append(slices.Clone(b.columns), o.column.Column)...)
	if err != nil {
		return nil, err
	}
	codes, err := coded(s)
	if err != nil {
		return nil, err
	}
	if err := o.fit(k, s, codes, b); err != nil {
		return nil, err
	}
	conf := k.confidence()
	table, err := o.termTable(k, conf)
	if err != nil {
		return nil, err
	}
	contrasts, err := o.contrasts(k, conf)
	if err != nil {
		return nil, err
	}
	k.e.Tables = []page.Table{table}
	var mains []main
	for i, c := range contrasts {
		if i < mostTold {
			k.e.Findings = append(k.e.Findings, c.told)
		}
		mains = append(mains, main{key: c.key, gap: c.gap, told: c.told})
	}
	if len(contrasts) > 0 {
		k.e.Tables = append(k.e.Tables, o.contrastTable(contrasts, conf))
	}
	k.e.Findings = append(k.e.Findings, say.TermsTogether(o.column.Column, o.N, o.P))
	k.e.Values = o.values()
	k.e.Cautions = append(k.e.Cautions, o.cautions()...)
	known := append(o.place.columns(), o.column.Column)
	return answered(s, s.mode(o.column.Column), known, mains).keeping(result{columns: o.place.columns()}), nil
}

// fit fits the odds; the design, and what depends in it, is that of a least-squares fit.
func (o *modeOdds) fit(k *call, s *sample, codes []int, b blueprint) error {
	v, err := s.variables(k.ctx, b.columns)
	if err != nil {
		return err
	}
	m := design.Model{Variables: v, Terms: b.terms}
	r := s.mode(o.column.Column)
	o.counts = make([]int, len(o.names))
	for i, code := range codes {
		o.counts[code]++
		if code == 1 {
			r.values[i] = 1
		}
	}
	f, err := linear.Solve(k.ctx, r.values, m)
	if err != nil {
		return err
	}
	o.place = &fitted{Fit: f, by: f, sample: s, response: r, command: k.c}
	data := odds.Sample{Mode: codes, Modes: len(o.names)}
	for j, c := range f.Coefficients {
		if !c.Dependent {
			o.kept = append(o.kept, j)
			data.Columns = append(data.Columns, f.Matrix.Columns[j])
		}
	}
	o.Fit, err = odds.Solve(k.ctx, data)
	if errors.Is(err, odds.ErrNoPeak) {
		return &page.Problem{Code: "no-peak", At: o.column.At, Message: "the likelihood of these terms has no peak that could be reached", Hint: "leave terms out, or break more specimens"}
	}
	return err
}

// row is the fitted columns at a point of the design; false where the terms cannot place it.
func (o *modeOdds) row(p linear.Point) ([]float64, bool) {
	all, ok := o.place.Weights(p)
	if !ok {
		return nil, false
	}
	w := make([]float64, len(o.kept))
	for i, j := range o.kept {
		w[i] = all[j]
	}
	return w, true
}

// termTable has one row a coefficient: the baseline's is the odds of a baseline specimen.
func (o *modeOdds) termTable(k *call, conf float64) (page.Table, error) {
	title := o.place.title()
	name := o.column.Column + " is " + o.names[1]
	if o.all {
		name = o.column.Column + " against " + o.names[0]
	}
	title[0] = page.Word("Odds of " + name + " on " + o.place.termList())
	t := page.Table{ID: "terms", Title: title, Columns: []page.Column{{ID: "term"}, {ID: "effect"}, {ID: "standard_error"},
		{ID: "odds_ratio", Style: page.Ratio}, {ID: "low", Style: page.Ratio}, {ID: "high", Style: page.Ratio}, {ID: "p", Style: page.P}},
		Note: page.Say("effect and standard error: log odds; low and high: ", page.Num{Value: conf, Style: page.Fraction}, " profile range of the odds ratio")}
	if o.all {
		t.Columns = slices.Insert(t.Columns, 0, page.Column{ID: "mode"})
	}
	for m := 1; m < len(o.names); m++ {
		at := 0
		for j, c := range o.place.Coefficients {
			row := []page.Cell{page.T(rowName(o.place.model(), c.Label)), {}, {}, {}, {}, {}, {}}
			if at < len(o.kept) && o.kept[at] == j {
				w := make([]float64, len(o.kept))
				w[at] = 1
				at++
				e, err := o.Combination(k.ctx, m, w, conf)
				if err = o.of(rowName(o.place.model(), c.Label), err); err != nil {
					return t, err
				}
				for i, x := range []float64{e.Value, e.SE, math.Exp(e.Value), math.Exp(e.Range.Low), math.Exp(e.Range.High), e.P} {
					row[i+1] = page.N(x)
				}
			}
			if o.all {
				row = slices.Insert(row, 0, page.T(o.names[m]))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t, nil
}

func (o *modeOdds) values() []page.Value {
	method := "likelihood"
	if o.Separated {
		method = "penalised"
	}
	v := []page.Value{{ID: "method", Label: "method", Cell: page.T(method)}, figure("n", float64(o.N), page.Count, ""),
		figure("log_likelihood", o.LogLikelihood, page.Plain, ""), figure("df", float64(o.DF), page.DF, ""), figure("p", o.P, page.P, "")}
	for i, label := range []string{"method", "specimens", "log likelihood", "degrees of freedom", "p of all terms together"} {
		v[i].Label = label
	}
	return v
}

func (o *modeOdds) cautions() []page.Sentence {
	var out []page.Sentence
	if o.Separated {
		name := o.column.Column + " " + o.names[1]
		if o.all {
			name = "one " + o.column.Column
		}
		out = append(out, say.Penalised(name))
	}
	for m, n := range o.counts {
		if n < fewBreaks {
			out = append(out, say.FewOfMode(o.column.Column+" was "+o.names[m], n))
		}
	}
	out = append(out, o.unfound.cautions()...)
	return append(out, o.place.dependentCautions()...)
}
