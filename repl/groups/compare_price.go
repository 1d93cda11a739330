package groups

import (
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
	"breakbook/repl/session/pricing"
)

// The answers about a gain that costs something.
const (
	pays       = "it pays"
	paysNot    = "does not pay"
	cannotPays = "cannot tell whether it pays"
	sameCost   = "costs the same"
)

// priceRow is a difference beside what it costs: second less first throughout.
type priceRow struct {
	*withinColumn
	First   string  `id:"first"`
	Second  string  `id:"second"`
	Cost    float64 `id:"extra_cost" unit:"{c}"`
	PerCost float64 `id:"per_cost" unit:"{rate}" label:"gain per {one}"`
	Low     float64 `id:"per_cost_low" unit:"{rate}" label:"low" wide:"yes"`
	High    float64 `id:"per_cost_high" unit:"{rate}" label:"high" wide:"yes"`
	*priceVerdict
}

// priceVerdict is what a difference has to be to be worth its cost, and whether it is.
type priceVerdict struct {
	Needed float64 `id:"needed" unit:"{y}" difference:"yes"`
	Answer string  `id:"answer"`
}

type priceFigures struct {
	Price float64 `id:"price" unit:"{rate}" label:"worth having per {one}"`
}

// priced sets what the differences cost beside them, and judges them by a price where the command names one.
func priced(k *session.Call, cmd *phrase.Compare, fam *fitted.Family) error {
	price, err := pricing.Of(k, fam.Response, cmd.Costing)
	if err != nil || cmd.Costing == nil {
		return err
	}
	cost := map[string]float64{}
	for _, one := range cmd.Costing.List {
		if !slices.Contains(fam.Names, one.Level.Level) {
			return page.Refuse(page.CodeNoSpecimens, one.Level.At, "no specimen used here has "+one.Level.Column+" "+
				one.Level.Level, "")
		}
		cost[one.Level.Level] = one.Price
	}
	unit := pricing.Unit(cmd.Costing)
	t := pricedTable{fam: fam, unit: unit, price: price}
	var findings []page.Sentence
	var unpriced []string
	for _, d := range fam.Result.Differences {
		first, known := cost[fam.Names[d.First]]
		second, both := cost[fam.Names[d.Second]]
		if !known || !both {
			for i, has := range map[int]bool{d.First: known, d.Second: both} {
				if name := fam.Names[i]; !has && !slices.Contains(unpriced, name) {
					unpriced = append(unpriced, name)
				}
			}
			continue
		}
		findings = append(findings, t.add(d, second-first))
	}
	if len(t.rows) == 0 {
		return page.Refuse(page.CodeFewPrices, cmd.Costing.At, "no two of the levels compared have a price",
			"name the price of each: costing 4 LEVEL, 6 LEVEL")
	}
	k.Entry.Findings = append(findings, k.Entry.Findings...)
	if len(unpriced) > 0 {
		slices.SortFunc(unpriced, func(a, b string) int {
			return slices.Index(fam.Names, a) - slices.Index(fam.Names, b)
		})
		k.Entry.Find(page.Say("No price is given for " + fam.Factor + " " + say.Listed(unpriced) +
			say.Plural(len(unpriced), ", so it is not judged by one.", ", so they are not judged by one.")))
	}
	k.Entry.Tables = append([]page.Table{t.table()}, k.Entry.Tables...)
	if price != nil {
		k.Entry.Values = append(k.Entry.Values, page.ValuesOf(priceFigures{price.Value}, t.names())...)
	}
	return nil
}

// pricedTable collects the differences that have a price.
type pricedTable struct {
	fam   *fitted.Family
	unit  string
	price *pricing.Price
	rows  []priceRow
}

func (t *pricedTable) names() page.Names {
	measure := t.fam.Unit
	if measure == "" {
		measure = "1"
	}
	return page.Names{"y": t.fam.Unit, "c": t.unit, "one": pricing.Per(t.unit), "rate": measure + "/" + t.unit}
}

// add is one difference, whose second level costs extra more than its first. The interval of the gain per unit of
// cost is that of the difference divided by the extra cost, which is known exactly.
func (t *pricedTable) add(d compare.Difference, extra float64) page.Sentence {
	r := verdict.Range{Low: d.Low, High: d.High}
	interval := r
	if t.fam.Result.Method == compare.ByReshuffling { // no interval to show, but one to judge by
		interval = verdict.Range{Low: d.Diff - d.Critical*d.SE, High: d.Diff + d.Critical*d.SE}
	}
	row := priceRow{First: t.fam.Names[d.First], Second: t.fam.Names[d.Second], Cost: extra, PerCost: page.None,
		Low: page.None, High: page.None}
	if w := t.fam.WithinOf(d); w != "" {
		row.withinColumn = &withinColumn{w}
	}
	gap := t.fam.Gap(d)
	if extra == 0 {
		if t.price != nil {
			row.priceVerdict = &priceVerdict{0, sameCost}
		}
		t.rows = append(t.rows, row)
		return page.Say("The two cost the same.")
	}
	dearer, cheaper, gain := row.Second, row.First, d.Diff
	if extra < 0 {
		dearer, cheaper, gain = row.First, row.Second, -d.Diff
		r, interval = turned(r), turned(interval)
	}
	extra = math.Abs(extra)
	row.PerCost, row.Low, row.High = gain/extra, r.Low/extra, r.High/extra
	unit := page.DifferenceUnit(t.fam.Unit)
	amount := func(x, times float64) page.Num {
		n := page.In(x, unit)
		if r.Known() {
			n.Resolution = (r.High - r.Low) * times
		}
		return n
	}
	if t.fam.LevelUnit != "" { // a level and a number never touch
		dearer, cheaper = dearer+" "+t.fam.LevelUnit, cheaper+" "+t.fam.LevelUnit
	}
	per := " per " + pricing.Per(t.unit)
	known := r.Known()
	s := page.Say(t.fam.Factor+" "+dearer, page.If(len(gap.Where) > 0, " ", gap.Where), ": ", pricing.Said(extra,
		t.unit), " more than "+cheaper+" for ", amount(gain, 1), page.If(known, " (", page.Share(t.fam.Conf),
		" interval ", page.Span{Low: r.Low, High: r.High, Unit: unit}, ")"), ", ", amount(row.PerCost, 1/extra),
		per, page.If(known, " (", page.Span{Low: row.Low, High: row.High, Unit: unit}, ")"))
	if t.price != nil {
		row.priceVerdict = &priceVerdict{t.price.Value * extra, paying(interval, t.price.Value*extra)}
		s = page.Say(s, ". At ", page.In(t.price.Value, unit), per+" it has to bring ",
			page.In(row.Needed, unit), ": ", page.Verdict{Words: row.Answer, Of: gap.Of})
	}
	t.rows = append(t.rows, row)
	return page.Say(s, ".")
}

func turned(r verdict.Range) verdict.Range { return verdict.Range{Low: -r.High, High: -r.Low} }

// paying is the answer about a gain that has to be needed: it pays where the whole interval is above, and does not
// where the whole interval is below.
func paying(r verdict.Range, needed float64) string {
	switch {
	case r.Low > needed:
		return pays
	case r.High < needed:
		return paysNot
	}
	return cannotPays
}

func (t *pricedTable) table() page.Table {
	return page.Filled(page.Table{ID: "prices", Title: page.Say("What the difference costs"),
		Note: page.Say("extra cost: of a specimen of second against one of first; gain: of the dearer of the two "+
			"against the cheaper, with the interval of the difference divided by the extra cost",
			page.If(t.price != nil, "; needed: what the extra cost has to bring"))}, t.rows, t.names())
}
