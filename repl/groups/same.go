package groups

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// Same tells whether levels carry the same, within a margin.
func Same(k *session.Call, cmd *phrase.Same) (*session.Outcome, error) {
	by := cmd.A
	s, r, groups, err := k.MeasuredByLevel(cmd.ByLevels)
	if err != nil {
		return nil, err
	}
	margin, err := margin(k, r, cmd.Within)
	if err != nil {
		return nil, err
	}
	ref := -1
	if l := cmd.Against; l != nil {
		ref = slices.IndexFunc(groups, func(g session.Group) bool { return g.Level == l.Level })
		if ref < 0 {
			return nil, page.Refuse(page.CodeNoSpecimens, l.At, "no specimen of "+by.Column+" "+l.Level+
				" is left to work with", "")
		}
	}
	if err := k.FewLevels(len(groups), by.Column, ref >= 0); err != nil {
		return nil, err
	}
	pairs, err := compare.Sames(k.Context, valuesOf(groups), ref, margin)
	if err != nil {
		return nil, onLevel(err, by, groups, "leave the level out with `for`")
	}
	k.Entry.Tables = []page.Table{sameTable(r, by, groups, pairs, margin)}
	mains := tellSame(k, r, cmd, groups, pairs, margin)
	k.Entry.Find(page.If(len(pairs) > 1, "Each of the ", len(pairs),
		" pairs is tested by itself, with no allowance for their number."))
	k.Entry.Warn(smallLevels(groups))
	return session.Tested(s, r, []string{by.Column}, mains).Keeping(session.Result{Columns: []string{by.Column}}), nil
}

// margin is how far apart levels may be, on the response's own scale: an amount, or a percentage
// of the series' mean, on a logarithm that ratio.
func margin(k *session.Call, r *session.Response, a phrase.Amount) (compare.Margin, error) {
	if !(a.Value > 0) || a.Percent && a.Value >= 1 {
		return compare.Margin{}, page.Refuse(page.CodeOutOfRange, a.At,
			"a margin is an amount over zero, or a percentage between 0% and 100%", "within 10%")
	}
	if !a.Percent {
		if r.Logged() {
			return compare.Margin{}, page.Refuse(page.CodeWrongDimension, a.At,
				"on "+r.Name()+" a margin is a ratio", "within 10%")
		}
		x, err := session.InUnit(a.Value, a.Unit, r.Unit(), a.At)
		return compare.Margin{Low: -x, High: x}, err
	}
	if r.Logged() {
		return compare.Margin{Low: math.Log1p(-a.Value), High: math.Log1p(a.Value)}, nil
	}
	if session.NoRatio(r.Column) {
		return compare.Margin{}, page.Refuse(page.CodeNoRatio, a.At, r.Column.Name+" in "+r.Unit()+
			" has no natural zero, so a percentage of it means nothing", "give the margin as an amount")
	}
	mean := k.MeanOfSeries(r)
	if !(mean > 0) {
		return compare.Margin{}, page.Refuse(page.CodeNoRatio, a.At, "the mean of "+r.Name()+
			" is zero or less, so a share of it is no margin", "give the margin as an amount")
	}
	return compare.Margin{Low: -a.Value * mean, High: a.Value * mean}, nil
}

// pairRow is whether two levels carry the same, within the margin.
type pairRow struct {
	First      string  `id:"first"`
	Second     string  `id:"second"`
	Difference float64 `id:"difference" unit:"{y}" difference:"yes"`
	Low        float64 `id:"low" unit:"{y}" difference:"yes"`
	High       float64 `id:"high" unit:"{y}" difference:"yes"`
	MarginLow  float64 `id:"margin_low" unit:"{y}" difference:"yes"`
	MarginHigh float64 `id:"margin_high" unit:"{y}" difference:"yes"`
	P          float64 `id:"p" style:"p"`
	Answer     string  `id:"answer"`
}

// sameTable has one row a pair.
func sameTable(r *session.Response, by phrase.ColumnRef, groups []session.Group, pairs []compare.SamePair,
	m compare.Margin) page.Table {
	var rows []pairRow
	for _, p := range pairs {
		first, second := groups[p.First].Level, groups[p.Second].Level
		rows = append(rows, pairRow{first, second, p.Diff, p.Low, p.High, m.Low, m.High, p.P, p.Answer.Key()})
	}
	return page.Filled(page.Table{ID: "pairs", Title: page.Say(r.Name() + " by " + by.Column + ", within a margin"),
		Note: page.Say("difference: second − first; low and high: its 90 % interval, each level with its own spread; " +
			"p: the larger of the two one-sided tests against the margins; pairs are not adjusted for their number")},
		rows, page.Names{"y": r.Unit()})
}

// tellSame tells every pair, that furthest apart first.
func tellSame(k *session.Call, r *session.Response, cmd *phrase.Same, groups []session.Group, pairs []compare.SamePair,
	m compare.Margin) []session.Answer {
	by, a := cmd.A, cmd.Within
	var mains []session.Answer
	order := slices.Clone(pairs)
	slices.SortStableFunc(order, func(a, b compare.SamePair) int {
		return cmp.Compare(math.Abs(b.Diff), math.Abs(a.Diff))
	})
	for _, p := range order {
		first, second := groups[p.First], groups[p.Second]
		key := by.Column + ": " + first.Level + ", " + second.Level
		finding := say.SamePair{Of: key, Measure: r.Measure(), First: by.Column + " " + first.Level,
			Second: by.Column + " " + second.Level, Diff: p.Diff, Low: p.Low, High: p.High, Unit: r.Unit(), P: p.P,
			Answer: p.Answer.Key(), Beyond: p.Diff < m.Low || p.Diff > m.High, Enough: p.Enough,
			Have: min(len(first.Values), len(second.Values)),
			Margin: page.Say(page.Num{Value: m.High, Unit: page.DifferenceUnit(r.Unit()), Resolution: m.High},
				" either way")}
		if r.Logged() {
			finding.Diff, finding.Low, finding.High = math.Expm1(p.Diff), math.Expm1(p.Low), math.Expm1(p.High)
			finding.Unit, finding.Style = "", page.Fraction
			finding.Margin = page.Say(page.Share(a.Value), " either way")
		}
		k.Entry.Find(finding.Sentence())
		answer := [...]verdict.Answer{verdict.CannotTell, verdict.NoDifferenceWorth, verdict.Differs}[p.Answer]
		mains = append(mains, session.Answer{Key: key, Finding: finding.Sentence(), Gap: say.Gap{Value: p.Diff,
			Range: verdict.Range{Low: p.Low, High: p.High}, Answer: answer, Worth: say.Worth{Value: m.High}}})
	}
	return mains
}
