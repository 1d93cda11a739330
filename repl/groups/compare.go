package groups

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"breakbook/models/compare"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"

	"gonum.org/v1/gonum/stat"
)

// The methods of comparing that an option asks for; without one all levels share a spread.
const (
	unevenSpread = "uneven spread"
	byRanks      = "ranked"
	byReshuffles = "reshuffled"
)

// comparing is the method the command asks for, "" for none.
func comparing(cmd *phrase.Compare) (string, error) {
	method := ""
	for _, w := range []struct {
		is   bool
		said string
	}{{cmd.UnevenSpread, unevenSpread}, {cmd.Ranked, byRanks}, {cmd.Reshuffled, byReshuffles}} {
		if !w.is {
			continue
		}
		if method != "" {
			return "", page.Refuse(page.CodeTwoWays, 0, method+" and "+w.said+" cannot both be asked for",
				"keep one of them")
		}
		method = w.said
	}
	return method, nil
}

// Comparison sets levels against each other, or means against a figure.
func Comparison(k *session.Call, cmd *phrase.Compare) (*session.Outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.ByLevels:
		return compareRaw(k, cmd, of)
	case phrase.LevelsOfFit:
		return compareOf(k, cmd, of)
	case phrase.WithFigure:
		return compareFigure(k, cmd, of)
	}
	return nil, k.Unhandled()
}

// compareRaw sets the levels of a category against each other, or all against one.
func compareRaw(k *session.Call, cmd *phrase.Compare, of phrase.ByLevels) (*session.Outcome, error) {
	method, err := comparing(cmd)
	if err != nil {
		return nil, err
	}
	by := of.A
	if method != byRanks {
		l, err := fitted.ReferenceLevels(k, of.Y, by, phrase.FitOptions{UnevenSpread: method == unevenSpread})
		if err != nil {
			return nil, err
		}
		if l != nil {
			return compareAdjusted(k, cmd, l, method)
		}
	}
	columns := []string{by.Column}
	if method == byReshuffles {
		if columns, err = k.WithBlocks(columns); err != nil {
			return nil, err
		}
	}
	s, r, err := k.Measured(of.Y, columns...)
	if err != nil {
		return nil, err
	}
	groups, err := k.Groups(s, r.Values, by)
	if err != nil {
		return nil, err
	}
	fam := family(r, s, by.Column, groups)
	m, overall, err := routed(k, fam, method, cmd.Times, s, groups, columns[1:], cmd.Against)
	if err == nil {
		err = compareFamily(k, fam, m, overall, r.Name()+" by "+by.Column, cmd.Against)
	}
	if err == nil {
		err = priced(k, cmd, fam)
	}
	if err != nil {
		return nil, onLevel(err, by, groups, "leave the level out with `for`, or compare without uneven spread")
	}
	k.Entry.Warn(smallLevels(groups))
	return session.Tested(s, r, columns, fam.Answers()).Keeping(session.Result{Columns: []string{by.Column},
		Gaps: gapsOf(fam)}), nil
}

// compareAdjusted compares the levels of a column that was brought to reference conditions, by the fit that has
// these as covariates.
func compareAdjusted(k *session.Call, cmd *phrase.Compare, l *fitted.Levels, method string) (*session.Outcome, error) {
	o, err := compareLevels(k, cmd, l, method, l.Fit.Y.Name()+" by "+l.Family.Factor)
	if err != nil {
		return nil, err
	}
	terms := l.Fit.TermList()
	last := strings.LastIndex(terms, ", ") // a column was brought to others, which are terms beside it
	k.Entry.Find(page.Say("Underneath is the fit of " + l.Fit.Y.Measure() + " on " + terms[:last] + " and " +
		terms[last+2:] + ": the slope is estimated beside the differences, and its uncertainty is in their intervals."))
	return o, nil
}

// family is the words for the levels of a category, as raw groups.
func family(r *session.Response, s *session.Sample, factor string, groups []session.Group) *fitted.Family {
	c, _ := s.Frame.Column(factor)
	fam := &fitted.Family{Response: r, Measure: r.Measure(), Unit: r.Unit(), Factor: factor, LevelUnit: c.Unit.String(),
		Logged: r.Logged(), Probability: math.NaN()}
	for _, g := range groups {
		fam.Names = append(fam.Names, g.Level)
	}
	return fam
}

// routed makes ready to compare raw levels by the method asked for: their means, and the test of all levels together.
func routed(k *session.Call, fam *fitted.Family, method string, times *phrase.Count, s *session.Sample,
	groups []session.Group, blocks []string, against *phrase.LevelRef) (compare.Means, compare.Overall, error) {
	if err := k.FewLevels(len(groups), fam.Factor, against != nil); err != nil {
		return compare.Means{}, compare.Overall{}, err
	}
	values := valuesOf(groups)
	var m compare.Means
	if method == byRanks || method == byReshuffles {
		m.Mean = session.Means(values)
		for _, level := range values {
			m.N = append(m.N, float64(len(level)))
		}
	}
	var o compare.Overall
	var err error
	switch method {
	case unevenSpread:
		if m, err = compare.Uneven(k.Context, values); err == nil {
			o, err = compare.Welch(k.Context, values)
		}
	case byRanks:
		o, err = compare.KruskalWallis(k.Context, values)
		fam.Compare = func(ref int, o compare.Options) (*compare.Result, error) {
			return compare.Ranked(k.Context, values, ref, o)
		}
	case byReshuffles:
		err = reshuffling(k, times, fam, values, s, groups, blocks)
	default:
		if m, err = compare.Groups(k.Context, values); err == nil {
			o, err = compare.OneWay(k.Context, values)
		}
	}
	return m, o, err
}

// reshuffling makes ready to compare raw levels by reshuffling within blocks.
func reshuffling(k *session.Call, asked *phrase.Count, fam *fitted.Family, values [][]float64, s *session.Sample,
	groups []session.Group, columns []string) error {
	times, err := timesOf(asked)
	if err != nil {
		return err
	}
	if asked != nil {
		if err := session.FewDeals(*asked, s.Frame.Len()); err != nil {
			return err
		}
	}
	block, within := s.Blocks(k.Context, columns)
	fam.Within = within
	var blocks [][]int
	if block != nil {
		for _, g := range groups {
			blocks = append(blocks, lists.Mapped(g.Rows, func(row int) int { return block[row] }))
		}
	}
	fam.Compare = func(ref int, o compare.Options) (*compare.Result, error) {
		o.Times, o.Seed, o.Progress = times, k.Session.Settings().Seed, k.Progress()
		return compare.Reshuffled(k.Context, values, blocks, ref, o)
	}
	k.Entry.Warn(spreadCaution(k.Context, fam, values)...)
	return nil
}

// timesOf is how many reshuffles a command asks for, 0 where it does not say.
func timesOf(n *phrase.Count) (int, error) {
	if n == nil {
		return 0, nil
	}
	if n.Value < session.LeastTimes || n.Value > session.MostTimes {
		return 0, page.Refuse(page.CodeOutOfRange, n.At, fmt.Sprintf("specimens can be reshuffled %d to %d times",
			session.LeastTimes, session.MostTimes), "reshuffled 99999 times")
	}
	return n.Value, nil
}

// spreadCaution warns of levels whose spreads differ: by Brown & Forsythe's test at 5 %, or
// an sd of more than three times another (common practice, no source).
func spreadCaution(ctx context.Context, fam *fitted.Family, values [][]float64) []page.Sentence {
	low, high := math.Inf(1), 0.0
	for _, level := range values {
		if len(level) < 2 {
			continue
		}
		sd := stat.StdDev(level, nil)
		low, high = math.Min(low, sd), math.Max(high, sd)
	}
	if o, err := compare.BrownForsythe(ctx, values); high > 3*low || err == nil && o.P < 0.05 {
		return []page.Sentence{page.Say("The levels differ in spread (sd ", page.Span{Low: low, High: high,
			Unit: page.DifferenceUnit(fam.Unit)},
			"). Reshuffled specimens are taken as alike in everything, so what shows may be the "+
				"spread and not the mean; for the means alone, type uneven spread in place of reshuffled.")}
	}
	return nil
}

// onLevel says which level an error of a comparison is about; alone is the hint where one has a single specimen.
func onLevel(err error, by phrase.ColumnRef, groups []session.Group, alone string) error {
	var e *compare.Error
	if !errors.As(err, &e) || e.Level < 0 || e.Level >= len(groups) {
		return err
	}
	name := by.Column + " " + groups[e.Level].Level
	switch e.Code {
	case "alone":
		return page.Refuse(page.Code(e.Code), by.At, "one specimen of "+name+" tells nothing of its own spread", alone)
	case "not-within-blocks":
		return page.Refuse(page.Code(e.Code), by.At, "no block, nor a chain of blocks, joins "+name+" to "+by.Column+
			" "+groups[0].Level+", so reshuffling within blocks cannot compare them", "")
	}
	return err
}

// valuesOf are the values of each level.
func valuesOf(groups []session.Group) [][]float64 {
	return lists.Mapped(groups, func(g session.Group) []float64 { return g.Values })
}

// smallLevels warns of levels that are too small to say much; nil where there are none.
func smallLevels(groups []session.Group) page.Sentence {
	var names []string
	for _, g := range groups {
		if len(g.Values) < 3 {
			names = append(names, g.Level)
		}
	}
	return page.If(len(names) > 0, "Fewer than three specimens: "+strings.Join(names, "; ")+
		". One more break could move such a mean a long way.")
}

// each tells every difference with an answer of its own, the clearest first and the others in the table's order.
func each(f *fitted.Family) []page.Sentence {
	lead := f.Largest()
	out := []page.Sentence{f.Gap(lead).Sentence()}
	for _, d := range f.Result.Differences {
		if d.First != lead.First || d.Second != lead.Second {
			out = append(out, f.Gap(d).Sentence())
		}
	}
	return out
}
