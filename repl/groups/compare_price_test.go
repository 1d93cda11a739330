package groups

import (
	"math"
	"testing"

	"breakbook/models/compare"
	"breakbook/models/verdict"
	"breakbook/repl/session/fitted"
	"breakbook/repl/session/pricing"
)

func TestPaying(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		r      verdict.Range
		needed float64
		want   string
	}{
		{verdict.Range{Low: 11, High: 30}, 10, pays},
		{verdict.Range{Low: 10, High: 30}, 10, cannotPays}, // what is needed is not excluded
		{verdict.Range{Low: 1, High: 9}, 10, paysNot},
		{verdict.Range{Low: -9, High: -1}, 10, paysNot},
		{verdict.Range{Low: -11, High: 45}, 20, cannotPays},
		{verdict.Range{Low: nan, High: nan}, 10, cannotPays},
		{verdict.Range{Low: 11, High: math.Inf(1)}, 10, pays},
	} {
		if got := paying(c.r, c.needed); got != c.want {
			t.Errorf("%v, needed %g: %s, want %s", c.r, c.needed, got, c.want)
		}
	}
}

// The gain is that of the dearer level, whichever stands first, and its interval the difference's divided by the
// extra cost.
func TestPricesGoByTheDearerLevel(t *testing.T) {
	fam := &fitted.Family{Factor: "pins", Unit: "kgf", Names: []string{"none", "pair"}, Conf: 0.95,
		Result: &compare.Result{}}
	d := compare.Difference{First: 0, Second: 1, Diff: 30, Low: 10, High: 50}
	for _, c := range []struct {
		extra, per, low, high, needed float64
		answer                        string
	}{
		{2, 15, 5, 25, 8, pays},          // pair costs 2 minutes more
		{-2, -15, -25, -5, 8, paysNot},   // none costs 2 minutes more and carries less
		{20, 1.5, 0.5, 2.5, 80, paysNot}, // 50 is less than 80
		{5, 6, 2, 10, 20, cannotPays},
	} {
		table := pricedTable{fam: fam, unit: "min", price: &pricing.Price{Value: 4, Cost: "min"}}
		table.add(d, c.extra)
		row := table.rows[0]
		if row.Cost != c.extra || row.PerCost != c.per || row.Low != c.low || row.High != c.high ||
			row.Needed != c.needed ||
			row.Answer != c.answer {
			t.Errorf("%g more: %+v %+v, want %+v", c.extra, row, *row.priceVerdict, c)
		}
	}
	table := pricedTable{fam: fam, unit: "min", price: &pricing.Price{Value: 4, Cost: "min"}}
	table.add(d, 0)
	if row := table.rows[0]; row.Answer != sameCost || !math.IsNaN(row.PerCost) {
		t.Errorf("%+v", row)
	}
}
