package functions

import (
	"math"
	"slices"
	"testing"
)

func TestNamed(t *testing.T) {
	for name, want := range map[string]float64{"": 6.5, Ln: 1.8718021769015913, Log10: 0.8129133566428555,
		Sqrt: 2.5495097567963922, Exp: 665.1416330443618, Abs: 6.5, Round: 7} {
		f, ok := Named(name)
		if !ok || math.Abs(f(6.5)-want) > 1e-12*want {
			t.Errorf("%s of 6.5 is not %v", name, want)
		}
	}
	if f, _ := Named(Round); f(-2.5) != -3 {
		t.Errorf("−2.5 is rounded to %v", f(-2.5))
	}
	if _, ok := Named("sine"); ok {
		t.Error("there is a sine")
	}
	if !slices.Equal(OfColumns(), []string{"ln", "log10", "sqrt", "exp", "abs"}) || !slices.Equal(OfValues(),
		append(OfColumns(), "round")) {
		t.Errorf("of columns %v, of values %v", OfColumns(), OfValues())
	}
}
