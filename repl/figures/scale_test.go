package figures

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestTicksAreRoundAndNotSparse(t *testing.T) {
	for _, c := range []struct {
		least, most float64
		want        string
	}{
		{1, 9, "0 2 4 6 8"},
		{250, 470, "250 300 350 400 450"},
		{0, 1, "0.0 0.2 0.4 0.6 0.8 1.0"},
		{-60, 55, "−50 −25 0 25 50"},
		{5, 5, "4.8 4.9 5.0 5.1 5.2"},
		{0, 0, "−1.0 −0.5 0.0 0.5 1.0"},
		{1, 4, "1 2 3 4"},
		{1e6, 4e6, "1 2 3 4"},
		{0.9, 4, "0 1 2 3 4"},
	} {
		s := newScale(c.least, c.most)
		s.setTicks(7)
		if got := strings.Join(s.labels(), " "); got != c.want {
			t.Errorf("%g to %g: ticks %s, want %s", c.least, c.most, got, c.want)
		}
	}
}

func TestAnyScaleHoldsItsDataAndFourToSevenTicks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		any := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-1000, 1000))
		a, b := any.Draw(t, "a"), any.Draw(t, "b")
		s := newScale(min(a, b), max(a, b))
		s.setTicks(7)
		if n := len(s.ticks); n < 4 || n > 7 {
			t.Fatalf("%d ticks on %g to %g", n, s.lo, s.hi)
		}
		for _, v := range []float64{s.of(a), s.of(b)} {
			if !(v >= s.lo && v <= s.hi) {
				t.Fatalf("%g is off the axis %g to %g", v, s.lo, s.hi)
			}
		}
		seen := map[string]bool{}
		for _, k := range s.ticks {
			if k.at < s.lo-1e-9*math.Abs(s.lo) || k.at > s.hi+1e-9*math.Abs(s.hi) || seen[k.label] {
				t.Fatalf("tick %q at %g, axis %g to %g", k.label, k.at, s.lo, s.hi)
			}
			seen[k.label] = true
		}
	})
}

func TestAxisLabelSpellsUnitsAndWhatWasTakenOff(t *testing.T) {
	far := newScale(1e12+0.2, 1e12+0.8)
	for _, c := range []struct {
		label, unit string
		s           scale
		want        string
	}{
		{"Break load", "kgf", scale{}, "Break load (kgf)"},
		{"Break load", "", scale{}, "Break load"},
		{"", "mm²", scale{}, "mm²"},
		{"Stiffness", "N/mm", newScale(2e6, 9e6), "Stiffness (10⁶ N/mm)"},
		{"Slip", "m", newScale(2e-6, 9e-6), "Slip (10^-6 m)"},
		{"Modulus", "Pa", newScale(8.2e9, 9.4e9), "Modulus (10^9 Pa)"},
		{"Response", "N", far, "Response, counted from 1000000000000 (N)"},
	} {
		if got := axisLabel(c.label, c.unit, c.s); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	for power := -30; power <= 30; power++ {
		for _, r := range superscript(power) {
			if !new(typesetter).has(r) {
				t.Errorf("10 to the %d is written with %q, which cannot be drawn", power, r)
			}
		}
	}
	if d := far.of(1e12+0.8) - far.of(1e12+0.2); math.Abs(d-0.6) > 2e-4 { // 1e12 is exact to 1.2e-4
		t.Errorf("0.2 and 0.8 above 1e12 came %g apart", d)
	}
}
