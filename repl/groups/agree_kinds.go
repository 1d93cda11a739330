package groups

import (
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/meta"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// madeUp tells what the make-up of series does to how far apart they lie; before is the
// probability of their means as they stand.
func madeUp(columns []string, before, after float64) page.Sentence {
	what := say.Listed(columns)
	switch {
	case before < say.Alarm && after >= say.Alarm:
		return page.Say("As they stand the series differ (", page.Chance(before),
			"), which is what they were made of: each was brought to one make-up of "+what+", and then they do not.")
	case before >= say.Alarm && after < say.Alarm:
		return page.Say("As they stand the series would seem to agree (", page.Chance(before),
			"): only at one make-up of "+what+", to which each was brought, does it show that they do not.")
	}
	return page.Say("Each series was brought to one make-up of " + what + ", that of all specimens used.")
}

// pooledFit offers the fit of all specimens at once.
func pooledFit(line string) page.Sentence {
	return page.Say("To ask all specimens at once, with the series as one of the terms, type: " + line)
}

// kinds are the columns that say of what kind a specimen is.
type kinds struct {
	columns        []string // those whose levels all series hold
	shared         []string // "pins none, pair": levels the series were brought down to
	dropped, apart []string // levels left out; columns of which too little is shared
	leftOut        int      // specimens
}

// note says what was left out; nothing where all took part.
func (x *kinds) note() page.Sentence {
	n := x.leftOut
	return page.If(n > 0, "Like is compared with like, on the kinds that all series hold: "+say.Listed(x.shared)+"; ",
		n, say.Plural(n, " specimen", " specimens")+" of other kinds ("+say.Listed(x.dropped)+say.Plural(n, ") is",
			") are")+" left out.")
}

// isKind reports whether a column says of what kind a specimen was made.
func isKind(c frames.Column) bool {
	return c.Kind == frames.Category && (c.Role == frames.NoRole || c.Role == frames.Given) && !session.IsBlock(c)
}

// likeWithLike keeps the specimens of the kinds that every series holds: column by column, for
// the categories other than the ones the command names. A column that would leave a series
// fewer than two specimens is left as it is and named.
func likeWithLike(k *session.Call, s *session.Sample, by string, known ...string) (*kinds, error) {
	out := &kinds{}
	for again := true; again; { // what one column leaves out may take levels of another with it
		again = false
		out.columns = nil
		for _, c := range s.Frame.Columns() {
			missing, err := s.Frame.MissingIn(c.Name)
			if err != nil {
				return nil, err
			}
			if !isKind(c) || c.Name == by || slices.Contains(known, c.Name) || slices.Contains(out.apart, c.Name) ||
				len(c.Levels) < 2 || slices.Contains(missing, true) {
				continue
			}
			cut, err := out.cut(k, s, by, c)
			if err != nil {
				return nil, err
			}
			again = again || cut
		}
	}
	k.Entry.Specimens = new(s.Counts)
	k.Entry.Warn(page.If(len(out.apart) > 0, "The series share too few specimens of one level of "+
		say.Listed(out.apart)+", so what that does cannot be told from what the series do."))
	return out, nil
}

// cut leaves out the specimens of a column's levels that not every series holds, and reports whether there were any.
func (x *kinds) cut(k *session.Call, s *session.Sample, by string, c frames.Column) (bool, error) {
	series, err := s.Frame.Codes(k.Context, by)
	if err != nil {
		return false, err
	}
	codes, err := s.Frame.Codes(k.Context, c.Name)
	if err != nil {
		return false, err
	}
	of, _ := s.Frame.Column(by)
	held := make([]map[int]int, len(c.Levels)) // of a level: how many specimens of each series
	for row, code := range codes {
		if held[code] == nil {
			held[code] = map[int]int{}
		}
		held[code][series[row]]++
	}
	var shared, dropped []string
	remain, whole := make([]int, len(of.Levels)), make([]int, len(of.Levels))
	for code, n := range held {
		for i, specimens := range n {
			whole[i] += specimens
		}
		if len(n) < len(of.Levels) {
			dropped = append(dropped, c.Levels[code])
			continue
		}
		shared = append(shared, c.Levels[code])
		for i, specimens := range n {
			remain[i] += specimens
		}
	}
	tooFew := false
	for i := range remain {
		tooFew = tooFew || remain[i] < min(2, whole[i])
	}
	switch {
	case tooFew:
		x.apart = append(x.apart, c.Name)
		return false, nil
	case len(dropped) == 0:
		x.columns = append(x.columns, c.Name)
		return false, nil
	}
	keep := make([]bool, len(codes))
	for row, code := range codes {
		keep[row] = len(held[code]) == len(of.Levels)
		if !keep[row] {
			x.leftOut++
		}
	}
	x.shared = append(x.shared, c.Name+" "+say.Listed(shared))
	x.dropped = append(x.dropped, c.Name+" "+say.Listed(dropped))
	s.Only(k.Context, keep)
	return true, nil
}

// broughtTo is the mean of each series at the make-up of all specimens used: within each series the response is fitted
// by least squares on its kinds, one beside the other, and taken at the shares that their levels have among all
// specimens (direct standardisation). Nil where the make-up is the same in all, or where a series is too small for it.
func broughtTo(k *session.Call, s *session.Sample, columns []string, groups []session.Group) ([]meta.Series, error) {
	if len(columns) == 0 {
		return nil, nil
	}
	all, err := s.Variables(k.Context, columns)
	if err != nil {
		return nil, err
	}
	if evenlyMade(all, groups) {
		return nil, nil
	}
	var out []meta.Series
	for _, g := range groups {
		m := design.Model{}
		for i, v := range all {
			own := design.Variable{Name: v.Name, Levels: v.Levels, Codes: among(v.Codes, g.Rows)}
			m.Variables = append(m.Variables, own)
			m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{{Variable: i}}})
		}
		f, err := linear.Solve(k.Context, g.Values, m)
		if err != nil || f.DF < 2 {
			return nil, k.Context.Err()
		}
		w := make([]float64, len(f.Coefficients))
		for i, c := range f.Coefficients {
			if w[i] = 1; c.Label.Term >= 0 {
				w[i] = shareOf(all[c.Label.Term].Codes, c.Label.Levels[0])
			}
		}
		e, _ := f.Combination(k.Context, w)
		if !(e.SE > 0) { // it cannot be estimated
			return nil, nil
		}
		out = append(out, meta.Series{Estimate: e.Value, SE: e.SE, DF: e.DF})
	}
	return out, nil
}

// shareOf is the share of specimens on a level.
func shareOf(codes []int, level int) float64 {
	return float64(lists.Count(codes, func(c int) bool { return c == level })) / float64(len(codes))
}

// evenlyMade reports whether every series holds the levels of every column in the same shares.
func evenlyMade(all []design.Variable, groups []session.Group) bool {
	for _, v := range all {
		for level := range v.Levels {
			whole := shareOf(v.Codes, level)
			for _, g := range groups {
				n := lists.Count(g.Rows, func(row int) bool { return v.Codes[row] == level })
				if math.Abs(float64(n)/float64(len(g.Rows))-whole) > 1e-9 {
					return false
				}
			}
		}
	}
	return true
}

// pooledLine is the fit of all specimens on what is asked, the kinds and the series.
func pooledLine(k *session.Call, y phrase.Response, on []string, by string) string {
	own := k.Command.Clauses()
	return phrase.Line(&phrase.Fit{Clauses: phrase.Clauses{For: own.For, From: own.From},
		OnTerms: phrase.OnTerms{Y: y, Terms: phrase.TermsOf(append(slices.Clone(on), by))}})
}
