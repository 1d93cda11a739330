package units

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func must(t interface{ Fatalf(string, ...any) }, s string) Unit {
	u, ok := Parse(s)
	if !ok {
		t.Fatalf("%q is no unit", s)
	}
	return u
}

// The values follow from exact definitions: the pound of 0.45359237 kg, the inch
// of 25.4 mm, standard gravity of 9.80665 m/s2, and 15 °C = 59 °F.
func TestConvert(t *testing.T) {
	for _, c := range []struct {
		x        float64
		from, to string
		want     float64
	}{
		{1, "kgf", "N", 9.80665}, {9.80665, "N", "kgf", 1}, {64.5, "kgf", "N", 632.528925},
		{1, "lbf", "N", 4.4482216152605}, {1, "kN", "N", 1000}, {1500, "N", "kN", 1.5},
		{1, "inch", "mm", 25.4}, {34, "mm", "m", 0.034}, {0.034, "m", "mm", 34}, {12, "inch", "cm", 30.48},
		{1, "lb", "kg", 0.45359237}, {1, "lb", "g", 453.59237},
		{0.62, "g/cm3", "kg/m3", 620}, {620, "kg/m3", "g/cm3", 0.62},
		{15, "degC", "degF", 59}, {59, "degF", "degC", 15}, {-40, "degF", "degC", -40}, {0, "degC", "degF", 32},
		{90, "min", "h", 1.5}, {2, "day", "h", 48},
		{1, "kgf/cm2", "MPa", 0.0980665}, {1, "N/mm2", "MPa", 1}, {1, "MPa", "kPa", 1000},
		{1, "kgf·mm", "N·mm", 9.80665}, {1, "J", "N·mm", 1000}, {3, "kN·m", "N·mm", 3e6},
		{645.16, "mm2", "in2", 1},
	} {
		got, err := Convert(c.x, must(t, c.from), must(t, c.to))
		if err != nil || got != c.want {
			t.Errorf("%v %s = %v %s, %v; want %v", c.x, c.from, got, c.to, err, c.want)
		}
	}
}

// Decimals published with the exact definitions: 1 kgf = 2.20462262185 lbf,
// 1 N = 0.224808943100 lbf, 1 psi = 6894.757293168 Pa, 1 lb/ft3 = 16.018463374 kg/m3,
// 55 °F = 12.7778 °C; within half of the last digit given.
func TestConvertPublishedDecimals(t *testing.T) {
	for _, c := range []struct {
		x              float64
		from, to       string
		want, halfStep float64
	}{
		{1, "kgf", "lbf", 2.20462262185, 5e-12}, {1, "N", "lbf", 0.2248089431, 5e-13},
		{1, "psi", "Pa", 6894.757293168, 5e-10}, {1, "lb/ft3", "kg/m3", 16.018463374, 5e-10},
		{55, "degF", "degC", 12.7778,
			5e-5},
	} {
		got, err := Convert(c.x, must(t, c.from), must(t, c.to))
		if err != nil || math.Abs(got-c.want) > c.halfStep {
			t.Errorf("%v %s = %v %s, %v; want %v", c.x, c.from, got, c.to, err, c.want)
		}
	}
}

func TestConvertDifference(t *testing.T) {
	if d, err := ConvertDifference(10, must(t, "degC"), must(t, "degF")); err != nil || d != 18 {
		t.Errorf("a difference of 10 degC is %v degF, %v; want 18", d, err)
	}
	if d, err := ConvertDifference(10, must(t, "kgf"), must(t, "N")); err != nil || d != 98.0665 {
		t.Errorf("a difference of 10 kgf is %v N, %v; want 98.0665", d, err)
	}
}

func TestWrongDimensionNamesBoth(t *testing.T) {
	for _, c := range [][3]string{
		{"mm", "kgf", "mm is a length and kgf is a force"},
		{"kg", "N", "kg is a mass and N is a force"},
		{"mm2", "J", "mm2 is an area and J is an energy"},
		{"N·m3/kg", "s", "N·m3/kg is a unit of its own and s is a time"},
	} {
		_, err := Convert(1, must(t, c[0]), must(t, c[1]))
		var e *Error
		if !errors.As(err, &e) || err.Error() != c[2] {
			t.Errorf("%s into %s: %v; want %q", c[0], c[1], err, c[2])
		}
	}
	if _, err := Convert(12, Unit{}, must(t, "percent")); err == nil {
		t.Error("a bare number became percent")
	}
}

func TestCombinations(t *testing.T) {
	for _, c := range []struct {
		a, op, b, want string
	}{
		{"kgf", "·", "mm", "kgf·mm"}, {"mm", "·", "kgf", "kgf·mm"}, {"N", "/", "mm2", "N/mm2"},
		{"N", "/", "kg/m3", "N·m3/kg"}, {"mm", "·", "mm", "mm2"}, {"N", "/", "N", ""}, {"N/mm2", "·", "mm2", "N"},
		{"", "/", "mm", "1/mm"}, {"", "·", "degC", "degC"}, {"degC", "/", "", "degC"},
	} {
		a, _ := Parse(c.a)
		b, _ := Parse(c.b)
		do := Mul
		if c.op == "/" {
			do = Div
		}
		if got, err := do(a, b); err != nil || got.String() != c.want {
			t.Errorf("%s %s %s = %q, %v; want %q", c.a, c.op, c.b, got, err, c.want)
		}
	}
	if u, err := Pow(must(t, "mm"), 3); err != nil || u.String() != "mm3" {
		t.Errorf("mm^3 = %q, %v", u, err)
	}
	if u, err := Pow(must(t, "kN2"), 0.5); err != nil || u.String() != "kN" {
		t.Errorf("the root of kN2 = %q, %v", u, err)
	}
	if u, err := Pow(must(t, "N"), 0); err != nil || !u.None() {
		t.Errorf("N^0 = %q, %v", u, err)
	}
	// Differences have no zero that could stand in the way.
	if u, err := PowSteps(must(t, "degF"), 2); err != nil || Per(must(t, "lbf"), u) != "lbf per degF2" {
		t.Errorf("a slope over degF^2 is per %q, %v", u, err)
	}
	if u, err := MulSteps(must(t, "degC"), must(t, "mm")); err != nil || Per(must(t, "N"), u) != "N per mm·degC" {
		t.Errorf("a slope over mm·degC is per %q, %v", u, err)
	}
}

func TestCombinationsRefused(t *testing.T) {
	_, root := Pow(must(t, "N"), 0.5)
	_, product := Mul(must(t, "N"), must(t, "degC"))
	_, quotient := Div(must(t, "N"), must(t, "degC"))
	_, power := Pow(must(t, "degF"), 2)
	_, huge := Pow(must(t, "mm"), 1e9)
	_, nan := Pow(must(t, "mm"), math.NaN())
	for what, err := range map[string]error{"root": root, "product": product, "quotient": quotient, "power": power,
		"huge": huge, "nan": nan} {
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%s: %v; want an *Error", what, err)
		}
	}
	if !strings.HasPrefix(product.Error(), "degC counts from a zero of its own") {
		t.Errorf("N·degC: %q", product)
	}
}

func TestPer(t *testing.T) {
	N, density := must(t, "N"), must(t, "kg/m3")
	for _, c := range []struct {
		a, b Unit
		want string
	}{{N, density, "N per kg/m3"}, {N, must(t, "degC"), "N per degC"}, {N, Unit{}, "N"}, {Unit{}, density, "per kg/m3"},
		{Unit{}, Unit{}, ""}} {
		if got := Per(c.a, c.b); got != c.want {
			t.Errorf("Per(%q, %q) = %q; want %q", c.a, c.b, got, c.want)
		}
	}
}

func TestProductsReadBackAndUndo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pick := rapid.SampledFrom(Known()).Filter(func(s string) bool { return !strings.HasPrefix(s, "deg") })
		a, b := must(t, pick.Draw(t, "a")), must(t, pick.Draw(t, "b"))
		ab, err := Mul(a, b)
		if err != nil {
			t.Fatal(err)
		}
		if ba, _ := Mul(b, a); ba != ab {
			t.Fatalf("%s·%s is %q one way and %q the other", a, b, ab, ba)
		}
		if again, ok := Parse(ab.String()); !ok || again != ab {
			t.Fatalf("%q reads as %q, %t", ab, again, ok)
		}
		if back, err := Div(ab, b); err != nil || back != a {
			t.Fatalf("%s·%s/%s = %q, %v", a, b, b, back, err)
		}
	})
}

func TestConversionsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		known := rapid.SampledFrom(Known())
		a, b := must(t, known.Draw(t, "a")), must(t, known.Draw(t, "b"))
		x := rapid.Float64Range(-1e6, 1e6).Draw(t, "x")
		y, err := Convert(x, a, b)
		if SameDimension(a, b) != (err == nil) {
			t.Fatalf("%s into %s: %v", a, b, err)
		}
		if err != nil {
			return
		}
		back, err := Convert(y, b, a)
		if slack := 4e-16 * (math.Abs(x) + 600); err != nil || math.Abs(back-x) > slack {
			t.Fatalf("%v %s is %v %s is %v, %v", x, a, y, b, back, err)
		}
	})
}
