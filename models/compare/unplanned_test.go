package compare

import (
	"fmt"
	"math"
	"testing"

	"breakbook/models/verdict"
)

// What is only compared has every figure of what is told, but for those that plan ahead. A difference that these
// eight joints cannot tell would be settled by some number, so that leaving it out is seen.
func TestUnplannedLeavesOutOnlyWhatPlansAhead(t *testing.T) {
	values := [][]float64{{402, 408, 427, 426}, {423, 441, 430, 455}}
	m, err := Groups(t.Context(), values)
	if err != nil {
		t.Fatal(err)
	}
	for name, of := range map[string]func(o Options) (*Result, error){
		"all pairs":  func(o Options) (*Result, error) { return AllPairs(t.Context(), m, o) },
		"against":    func(o Options) (*Result, error) { return Against(t.Context(), m, 0, o) },
		"ranked":     func(o Options) (*Result, error) { return Ranked(t.Context(), values, -1, o) },
		"reshuffled": func(o Options) (*Result, error) { return Reshuffled(t.Context(), values, nil, -1, o) },
	} {
		whole, err := of(Options{Worth: 20})
		if err != nil {
			t.Fatal(name, err)
		}
		bare, err := of(Options{Worth: 20, Unplanned: true})
		if err != nil {
			t.Fatal(name, err)
		}
		d, b := whole.Differences[0], bare.Differences[0]
		if d.Answer != verdict.CannotTell || d.Enough < 5 || d.Together < 5 {
			t.Errorf("%s: %+v", name, d)
		}
		if b.Enough != 0 || b.Together != 0 || !math.IsNaN(b.Detectable) {
			t.Errorf("%s, unplanned: %+v", name, b)
		}
		d.Enough, d.Together, d.Detectable = 0, 0, math.NaN()
		if fmt.Sprint(d) != fmt.Sprint(b) {
			t.Errorf("%s: %+v, unplanned %+v", name, d, b)
		}
	}
	one := Single(t.Context(), 15, 9, 6, Options{Worth: 20}, 1)
	bare := Single(t.Context(), 15, 9, 6, Options{Worth: 20, Unplanned: true}, 1)
	if one.Times < 1 || bare.Times != 0 {
		t.Errorf("%+v, unplanned %+v", one, bare)
	}
	if one.Times = 0; one != bare {
		t.Errorf("%+v, unplanned %+v", one, bare)
	}
}
