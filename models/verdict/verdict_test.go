package verdict

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestDecide(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		r, ninety Range
		worth     float64
		want      Answer
		key       string
	}{
		{Range{1, 9}, Range{2, 8}, 5, Differs, "differs"},
		{Range{-9, -1}, Range{-8, -2}, 5, Differs, "differs"},
		{Range{-3, 4}, Range{-2, 3}, 5, NoDifferenceWorth, "no difference worth having"},
		{Range{1, 4}, Range{1.5, 3.5}, 5, DiffersLessThanWorth, "differs, by less than is worth having"},
		{Range{-3, 9}, Range{-2, 8}, 5, CannotTell, "cannot tell"},
		{Range{0, 9}, Range{0.5, 8}, 5, CannotTell, "cannot tell"}, // zero itself is not excluded
		{Range{-6, 6}, Range{-5, 5}, 5, CannotTell, "cannot tell"}, // nor is worth itself inside
		{Range{-3, 4}, Range{-2, 3}, 0, CannotTell, "cannot tell"}, // worth unknown
		{Range{-3, 4}, Range{-2, 3}, nan, CannotTell, "cannot tell"},
		{Range{nan, nan}, Range{nan, nan}, 5, CannotTell, "cannot tell"},
		{Range{1, math.Inf(1)}, Range{2, math.Inf(1)}, 5, Differs, "differs"},
	} {
		if got := Decide(c.r, c.ninety, c.worth); got != c.want || got.Key() != c.key {
			t.Errorf("%v, %v, worth %g: %q, want %q", c.r, c.ninety, c.worth, got.Key(), c.key)
		}
	}
	for a, want := range map[Answer]bool{CannotTell: false, Differs: true, NoDifferenceWorth: false,
		DiffersLessThanWorth: true} {
		if a.Differs() != want {
			t.Errorf("%q says that there is a difference: %t", a.Key(), a.Differs())
		}
	}
}

// The interval of B − A has the ends of A − B, with the other sign; on a rising scale each end goes where it goes.
func TestTurnedAndEach(t *testing.T) {
	if got := (Range{-1, 4}).Turned(); got != (Range{-4, 1}) {
		t.Errorf("turned: %v", got)
	}
	if got := (Range{-1, 4}).Each(func(x float64) float64 { return 2*x + 1 }); got != (Range{-1, 9}) {
		t.Errorf("doubled and one more: %v", got)
	}
}

// Turned round zero a difference keeps its answer, and another unit changes nothing.
func TestDecideIsEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) float64 { return float64(rapid.IntRange(-100, 100).Draw(t, name)) }
		mid, half := draw("middle"), math.Abs(draw("half"))
		worth := math.Abs(draw("worth"))
		r, ninety := Range{mid - half, mid + half}, Range{mid - half/2, mid + half/2}
		turned, turned90 := Range{-4 * r.High, -4 * r.Low}, Range{-4 * ninety.High, -4 * ninety.Low}
		if a, b := Decide(r, ninety, worth), Decide(turned, turned90, 4*worth); a != b {
			t.Fatalf("%v: %s, turned: %s", r, a.Key(), b.Key())
		}
	})
}

func TestKnown(t *testing.T) {
	for r, want := range map[Range]bool{{1, 2}: true, {1, math.Inf(1)}: false, {math.Inf(-1), math.Inf(1)}: false} {
		if r.Known() != want {
			t.Errorf("%v: %t", r, r.Known())
		}
	}
	if (Range{math.NaN(), 2}).Known() {
		t.Error("NaN known")
	}
}
