package vectors

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"breakbook/frames/units"
)

// bare is an amount without a unit that is no typed number: a column's.
func columnOf(u units.Unit, x ...float64) *Vector {
	v := &Vector{Unit: u, numbers: x}
	if warm(u) {
		v.zeros = 1
	}
	return v
}

func near(a, b float64) bool {
	return a == b || math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b))
}

// The figures are worked out by hand from the exact definitions of the units.
func TestArithmeticGoesThroughUnits(t *testing.T) {
	N, kgf, mm, cm := unit(t, "N"), unit(t, "kgf"), unit(t, "mm"), unit(t, "cm")
	C, F, percent := unit(t, "degC"), unit(t, "degF"), unit(t, "percent")
	ok := func(v *Vector, err error) *Vector {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	over12 := ok(Subtract(columnOf(percent, 15), Amount(12, units.Unit{})))
	for _, c := range []struct {
		what string
		got  *Vector
		x    float64
		unit string
	}{
		{"kgf times mm is a moment", ok(Multiply(columnOf(kgf, 10), columnOf(mm, 34))), 340, "kgf·mm"},
		{"mm times cm is mm2", ok(Multiply(columnOf(mm, 34), columnOf(cm, 3))), 1020, "mm2"},
		{"N over mm2", ok(Divide(columnOf(N, 1020), ok(Multiply(columnOf(mm, 34), columnOf(mm, 30))))), 1, "N/mm2"},
		{"N over N", ok(Divide(columnOf(N, 98.0665), columnOf(kgf, 10))), 1, ""},
		{"N and kgf", ok(Add(columnOf(N, 100), columnOf(kgf, 10))), 198.0665, "N"},
		{"kgf and N", ok(Add(columnOf(kgf, 10), columnOf(N, 98.0665))), 20, "kgf"},
		{"a typed number takes the unit", ok(Subtract(columnOf(N, 100), Amount(30, units.Unit{}))), 70, "N"},
		{"on the left too", ok(Subtract(Amount(300, units.Unit{}), columnOf(N, 100))), 200, "N"},
		{"12 % of 400 N", ok(Multiply(columnOf(N, 400), columnOf(percent, 12))), 48, "N"},
		{"twice 12 %", ok(Multiply(columnOf(percent, 12), Amount(2, units.Unit{}))), 24, "percent"},
		{"100 % less 12 %", ok(Subtract(Amount(100, percent), columnOf(percent, 12))), 88, "percent"},
		{"5 % more than 12 %", ok(Add(columnOf(percent, 12), Amount(5, units.Unit{}))), 17, "percent"},
		{"100 less 12 %", ok(Subtract(Amount(100, units.Unit{}), columnOf(percent, 12))), 88, "percent"},
		{"3 % for each over 12 %", ok(Add(Amount(1, units.Unit{}), ok(Multiply(Amount(0.03, units.Unit{}), over12)))),
			1.09, ""},
		{"of 400 N", ok(Multiply(columnOf(N, 400), over12)), 1200, "N"},
		{"of 400 N, none below it", ok(Multiply(columnOf(N, 400), ok(Most(Amount(0, units.Unit{}), over12)))), 1200,
			"N"},
		{"over a plain number", ok(Divide(over12, Amount(4, units.Unit{}))), 0.75, ""},
		{"over 15 %", ok(Divide(over12, columnOf(percent, 15))), 0.2, ""},
		{"over 12 % typed so", ok(Multiply(columnOf(N, 400),
			ok(Subtract(columnOf(percent, 15), Amount(12, percent))))), 12,
			"N"},
		{"squared", ok(Power(over12, Amount(2, units.Unit{}))), 9, ""},
		{"400 N over 50 %", ok(Divide(columnOf(N, 400), columnOf(percent, 50))), 800, "N"},
		{"mm to the third", ok(Power(columnOf(mm, 3), Amount(3, units.Unit{}))), 27, "mm3"},
		{"root of mm2", ok(Apply("sqrt", ok(Multiply(columnOf(mm, 4), columnOf(mm, 9))))), 6, "mm"},
		{"ln of a load", ok(Apply("ln", columnOf(N, math.E))), 1, ""},
		{"log10", ok(Apply("log10", columnOf(N, 1000))), 3, ""},
		{"exp", ok(Apply("exp", Amount(0, units.Unit{}))), 1, ""},
		{"round", ok(Apply("round", columnOf(N, -2.5))), -3, "N"},
		{"abs", ok(Apply("abs", columnOf(N, -2.5))), 2.5, "N"},
		{"least in the first's unit", ok(Least(columnOf(N, 100), columnOf(kgf, 1))), 9.80665, "N"},
		{"most against a typed number", ok(Most(columnOf(N, 100), Amount(500, units.Unit{}))), 500, "N"},
		{"between two temperatures", ok(Subtract(columnOf(C, 20), columnOf(F, 59))), 5, "degC"},
		{"from a typed temperature", ok(Subtract(columnOf(C, 20), Amount(13, C))), 7, "degC"},
		{"a temperature raised", ok(Add(columnOf(C, 20), Amount(5, C))), 25, "degC"},
		{"the middle of two", ok(Divide(ok(Add(columnOf(C, 20), columnOf(F, 50))), Amount(2, units.Unit{}))), 15,
			"degC"},
		{"degrees over degrees", ok(Divide(ok(Subtract(columnOf(C, 20), columnOf(C, 10))), Amount(18, F))), 1, ""},
		{"minus", ok(Negate(columnOf(N, 3))), -3, "N"},
	} {
		if !near(c.got.numbers[0], c.x) || c.got.Unit.String() != c.unit {
			t.Errorf("%s: %v %s, want %v %s", c.what, c.got.numbers[0], c.got.Unit, c.x, c.unit)
		}
	}
}

func TestWhatUnitsForbidIsAnErrorNamingBoth(t *testing.T) {
	N, mm, C, percent := unit(t, "N"), unit(t, "mm"), unit(t, "degC"), unit(t, "percent")
	text := &Vector{texts: []string{"pair"}}
	two := columnOf(units.Unit{}, 1, 2)
	for _, c := range []struct {
		what string
		run  func() (*Vector, error)
		want string
	}{
		{"N + mm", func() (*Vector, error) { return Add(columnOf(N, 1), columnOf(mm, 1)) },
			"N is a force and mm is a length"},
		{"mm − N", func() (*Vector, error) { return Subtract(columnOf(mm, 1), columnOf(N, 1)) },
			"mm is a length and N is a force"},
		{"a column without a unit + N", func() (*Vector, error) {
			return Add(columnOf(units.Unit{}, 1),
				columnOf(N, 1))
		},
			"a bare number has no unit and N is a force"},
		{"1 + percent", func() (*Vector, error) { return Add(Amount(1, units.Unit{}), columnOf(percent, 12)) },
			"a bare number has no unit and percent is a share of a hundred"},
		{"1 − percent", func() (*Vector, error) { return Subtract(Amount(1, units.Unit{}), columnOf(percent, 12)) },
			"a bare number has no unit and percent is a share of a hundred"},
		{"a typed percent + 3", func() (*Vector, error) { return Add(Amount(12, percent), Amount(3, units.Unit{})) },
			"percent is a share of a hundred and a bare number has no unit"},
		{"a column without a unit + percent", func() (*Vector, error) { return Add(two, columnOf(percent, 1, 2)) },
			"a bare number has no unit and percent is a share of a hundred"},
		{"least", func() (*Vector, error) { return Least(columnOf(N, 1), columnOf(N, 2), columnOf(mm, 1)) },
			"N is a force and mm is a length"},
		{"choose", func() (*Vector, error) {
			return Choose([]bool{true}, []bool{false}, columnOf(N, 1),
				columnOf(mm, 1))
		},
			"N is a force and mm is a length"},
		{"root of N", func() (*Vector, error) { return Apply("sqrt", columnOf(N, 1)) }, "no unit is that power of N"},
		{"exp of N", func() (*Vector, error) { return Apply("exp", columnOf(N, 1)) },
			"exp takes a plain number, and this one is in N"},
		{"degC times N", func() (*Vector, error) { return Multiply(columnOf(C, 1), columnOf(N, 1)) },
			"degC counts from a zero of its own and cannot be multiplied, divided or raised"},
		{"degC times a column", func() (*Vector, error) { return Multiply(columnOf(C, 1, 2), two) },
			"degC counts from a zero of its own and cannot be multiplied by what differs between specimens"},
		{"2 ^ N", func() (*Vector, error) { return Power(two, columnOf(N, 1)) },
			"a power is a plain number, and this one is in N"},
		{"mm ^ column", func() (*Vector, error) { return Power(columnOf(mm, 1), two) },
			"a value in mm can only be raised to one power for all specimens"},
		{"text + 1", func() (*Vector, error) { return Add(text, two) }, "words cannot be reckoned with"},
		{"text or number", func() (*Vector, error) { return Choose([]bool{true}, []bool{false}, text, two) },
			"one of the two values is words and the other a number"},
	} {
		if _, err := c.run(); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %q", c.what, err, c.want)
		}
	}
}

// However the parts of a formula are in units, the result is the same quantity.
func TestUnitsScaleThroughFormulas(t *testing.T) {
	forces, lengths := []string{"N", "kN", "kgf", "lbf"}, []string{"mm", "cm", "m", "inch"}
	rapid.Check(t, func(r *rapid.T) {
		pick := func(from []string) units.Unit { return unit(t, rapid.SampledFrom(from).Draw(r, "unit")) }
		x := rapid.Float64Range(0.5, 5000)
		n, l := unit(t, "N"), unit(t, "mm")
		load, width, depth, span := x.Draw(r, "load"), x.Draw(r, "width"), x.Draw(r, "depth"), x.Draw(r, "span")
		// stress = 3 · load · span / (2 · width · depth²) + least(load / (width · depth), …)
		formula := func(load, span, width, depth *Vector) (*Vector, error) {
			two := Amount(2, units.Unit{})
			steps := []func(v *Vector) (*Vector, error){
				func(v *Vector) (*Vector, error) { return Multiply(v, span) },
				func(v *Vector) (*Vector, error) { return Multiply(v, Amount(3, units.Unit{})) },
				func(v *Vector) (*Vector, error) { return Divide(v, two) },
				func(v *Vector) (*Vector, error) { return Divide(v, width) },
				func(v *Vector) (*Vector, error) {
					squared, err := Power(depth, two)
					if err != nil {
						return nil, err
					}
					return Divide(v, squared)
				},
				func(v *Vector) (*Vector, error) {
					area, err := Multiply(width, depth)
					if err != nil {
						return nil, err
					}
					plain, err := Divide(load, area)
					if err != nil {
						return nil, err
					}
					plain, err = Most(plain, v)
					if err != nil {
						return nil, err
					}
					return Add(v, plain)
				},
			}
			v := load
			for _, step := range steps {
				var err error
				if v, err = step(v); err != nil {
					return nil, err
				}
			}
			return v.in(unit(t, "N/mm2"))
		}
		turned := func(x float64, from units.Unit, to []string) *Vector {
			u := pick(to)
			y, err := units.Convert(x, from, u)
			if err != nil {
				r.Fatal(err)
			}
			return columnOf(u, y)
		}
		want, err := formula(columnOf(n, load), columnOf(l, span), columnOf(l, width), columnOf(l, depth))
		if err != nil {
			r.Fatal(err)
		}
		got, err := formula(turned(load, n, forces), turned(span, l, lengths), turned(width, l, lengths),
			turned(depth, l, lengths))
		if err != nil {
			r.Fatal(err)
		}
		if math.Abs(got.numbers[0]-want.numbers[0]) > 1e-13*want.numbers[0] {
			r.Fatalf("%v, want %v", got.numbers[0], want.numbers[0])
		}
	})
}
