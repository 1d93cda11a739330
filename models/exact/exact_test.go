package exact

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// bits hold every sum and product of double-doubles below exactly: from 2¹⁰⁰ down to the
// square of the least float64, 2⁻¹⁰⁷⁴.
const bits = 2400

// large is the value of a double-double, exact.
func large(a DD) *big.Float {
	s := new(big.Float).SetPrec(bits).SetFloat64(a.Hi)
	return s.Add(s, new(big.Float).SetPrec(bits).SetFloat64(a.Lo))
}

// relative is |got − want| / |want|, or |got| where want is 0.
func relative(got DD, want *big.Float) float64 {
	d := new(big.Float).SetPrec(bits).Sub(large(got), want)
	if want.Sign() != 0 {
		d.Quo(d, want)
	}
	f, _ := d.Abs(d).Float64()
	return f
}

func number(t *rapid.T, name string) DD {
	hi := rapid.Float64Range(-1e12, 1e12).Draw(t, name)
	if math.Abs(hi) < 1e-100 {
		hi = 0
	}
	lo := hi * rapid.Float64Range(-1, 1).Draw(t, name+" low") * 0x1p-53
	s, e := QuickTwoSum(hi, lo)
	return DD{s, e}
}

// Bounds: Joldes, Muller and Popescu (2017), 2⁻¹⁰⁶ = 1.23e-32.
func TestOperationsAgainstBigFloat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := number(t, "a"), number(t, "b")
		f := func() *big.Float { return new(big.Float).SetPrec(bits) }
		check := func(name string, got DD, want *big.Float, bound float64) {
			if r := relative(got, want); r > bound {
				t.Fatalf("%s of %v and %v: relative error %g", name, a, b, r)
			}
		}
		check("Add", a.Add(b), f().Add(large(a), large(b)), 4e-32)
		check("Sub", a.Sub(b), f().Sub(large(a), large(b)), 4e-32)
		check("AddFloat", a.AddFloat(b.Hi), f().Add(large(a), f().SetFloat64(b.Hi)), 3e-32)
		check("Mul", a.Mul(b), f().Mul(large(a), large(b)), 7e-32)
		check("MulFloat", a.MulFloat(b.Hi), f().Mul(large(a), f().SetFloat64(b.Hi)), 4e-32)
		if b.Hi != 0 {
			check("Div", a.Div(b), f().Quo(large(a), large(b)), 2e-31)
		}
		if a.Hi > 0 {
			check("Sqrt", a.Sqrt(), f().Sqrt(large(a)), 1e-31)
		}
	})
}

func TestPower(t *testing.T) {
	x := Of(-8.1)
	want := big.NewFloat(1).SetPrec(bits)
	for n := 0; n <= 11; n++ {
		if r := relative(x.Power(n), want); r > 1e-30 {
			t.Errorf("power %d: relative error %g", n, r)
		}
		if r := relative(x.Power(n).Mul(x.Power(-n)), big.NewFloat(1)); r > 1e-30 {
			t.Errorf("power %d times power %d: off by %g", n, -n, r)
		}
		want = new(big.Float).SetPrec(bits).Mul(want, large(x))
	}
}

// 1e30 + 1 − 1e30 is 1 and 1e16·1 + 1·1 − 1e16·1 is 1: float64 gives 0 for both.
func TestCancellation(t *testing.T) {
	if got := Of(1e30).AddFloat(1).Sub(Of(1e30)).Float(); got != 1 {
		t.Errorf("sum: %g", got)
	}
	a := []DD{Of(1e16), Of(1), Of(1e16)}
	if got := Dot(a, []DD{Of(1), Of(1), Of(-1)}).Float(); got != 1 {
		t.Errorf("dot product: %g", got)
	}
}

func TestEdges(t *testing.T) {
	if got := Of(1).Div(Of(0)).Hi; !math.IsInf(got, 1) {
		t.Errorf("1/0 = %g", got)
	}
	if got := Of(-1).Sqrt().Hi; !math.IsNaN(got) {
		t.Errorf("√−1 = %g", got)
	}
	if got := Of(0).Sqrt(); got != (DD{}) {
		t.Errorf("√0 = %v", got)
	}
}
