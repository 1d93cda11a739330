package render

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"breakbook/repl/page"
)

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		x          float64
		unit       string
		style      page.Style
		resolution float64
		want       string
	}{
		{412.37, "N", page.Plain, 0, "412.4 N"},
		{18, "mm", page.Plain, 0, "18 mm"},
		{0.25, "", page.Plain, 0, "0.25"},
		{412.04, "N", page.Plain, 0, "412.0 N"},
		{1.0 / 3, "", page.Plain, 0, "0.3333"},
		{0.30000000000000004, "mm", page.Plain, 0, "0.3 mm"},
		{-35.2, "N", page.Plain, 0, "−35.2 N"},
		{-0.00001, "N", page.Plain, 3, "0.0 N"},
		{-5.551e-15, "percentage points", page.Plain, 35, "0 percentage points"},
		{-5.551e-15, "percentage points", page.Plain, 1e-14, "−5.551 × 10⁻¹⁵ percentage points"},
		{375.969367724962, "kgf", page.Exact, 0.1, "376.0 kgf"},
		{375.969367724962, "kgf", page.Exact, 0, "375.969367724962 kgf"},
		{0.0028, "", page.Quotient, 0, "0.00280"},
		{123456.78, "N", page.Plain, 0, "123457 N"},
		{1.2341e-7, "m", page.Plain, 0, "1.234 × 10⁻⁷ m"},
		{3e20, "", page.Plain, 0, "3 × 10²⁰"},
		{412.13, "N", page.Plain, 161, "412 N"},
		{412.13, "N", page.Plain, 16.1, "412 N"},
		{412.13, "N", page.Plain, 1.61, "412.1 N"},
		{412.13, "N", page.Plain, 0.0161, "412.1 N"}, // no more than four digits either
		{0.5, "N", page.Plain, 0.12, "0.50 N"},
		{9.996, "N", page.Plain, 0.99, "10.00 N"},
		{0.61, "", page.Fraction, 0, "61 %"},
		{0.6149, "", page.Fraction, 0, "61 %"},
		{0.614, "", page.Fraction, 0, "61.4 %"},
		{0.0537, "", page.Fraction, 0, "5.4 %"},
		{0.9996, "", page.Fraction, 0, "99.96 %"},
		{0.95, "", page.Fraction, 0, "95 %"},
		{0.975, "", page.Fraction, 0, "97.5 %"},
		{1, "", page.Fraction, 0, "100 %"},
		{0, "", page.Fraction, 0, "0 %"},
		{1e-7, "", page.Fraction, 0, "< 0.01 %"},
		{12.5, "", page.Percent, 0, "12.5 %"},
		{-18.234, "", page.Percent, 0, "−18 %"},
		{123.42, "", page.Percent, 0, "123 %"},
		{3.21, "", page.Percent, 4, "3.2 %"},
		{38, "", page.Count, 0, "38"},
		{12.5, "", page.Count, 0, "12.5"},
		{34, "", page.DF, 0, "34"},
		{23.4213, "", page.DF, 0, "23.4"},
		{2.249, "", page.Ratio, 0, "2.25"},
		{17.93, "", page.Ratio, 0, "17.9"},
		{0.01234567, "N", page.Exact, 0, "0.01234567 N"},
		{math.NaN(), "N", page.Plain, 0, "not known"},
		{11.5, "percent", page.Plain, 0, "11.5 %"},
	} {
		if got := soft(number(c.x, c.unit, c.style, c.resolution, Options{})); got != c.want {
			t.Errorf("number(%v, %q, style %d, resolution %v) = %q, want %q", c.x, c.unit, c.style, c.resolution, got,
				c.want)
		}
	}
}

func TestChance(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want string
	}{
		{0.031, "p = 0.031"}, {0.0312, "p = 0.031"}, {0.5, "p = 0.50"}, {0.647, "p = 0.65"},
		{0.00034, "p = 0.00034"}, {0.0001, "p = 0.00010"}, {0.000099, "p < 0.0001"},
		{0, "p < 0.0001"}, {1e-300, "p < 0.0001"}, {0.996, "p > 0.99"}, {1, "p = 1"}, {math.NaN(), "p not known"},
	} {
		if got := Sentence(page.Say(page.Chance(c.p)), Options{}); got != c.want {
			t.Errorf("Chance(%v) = %q, want %q", c.p, got, c.want)
		}
	}
}

func TestDigits(t *testing.T) {
	for digits, want := range map[int]string{2: "412 N, 0.33, 6.1 %", 4: "412.4 N, 0.3333, 6.1 %",
		7: "412.3712 N, 0.3333333, 6.1235 %"} {
		s := page.Say(page.Num{Value: 412.3712, Unit: "N"}, ", ", page.Num{Value: 1.0 / 3}, ", ",
			page.Num{Value: 0.061235, Style: page.Fraction})
		if digits == 2 {
			want = "412 N, 0.33, 6 %"
		}
		if got := Sentence(s, Options{Digits: digits}); got != want {
			t.Errorf("%d digits: %q, want %q", digits, got, want)
		}
	}
}

func TestSpan(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		span page.Span
		want string
	}{
		{page.Span{Low: 12.34, High: 40.71, Unit: "N"}, "from 12 N to 41 N"},
		{page.Span{Low: -3.21, High: 1.9, Unit: "N"}, "from −3.2 N to 1.9 N"},
		{page.Span{Low: 2512.37, High: 2512.62, Unit: "N"}, "from 2512.37 N to 2512.62 N"},
		{page.Span{Low: 1, High: 2, Unit: "mm"}, "from 1 mm to 2 mm"},
		{page.Span{Low: 0.0312, High: 0.1241, Style: page.Fraction}, "from 3.1 % to 12.4 %"},
		{page.Span{Low: -3.21, High: 45.6, Style: page.Percent}, "from −3 % to 46 %"},
		{page.Span{Low: 12, High: inf, Unit: "N"}, "from 12 N up, with no upper limit"},
		{page.Span{Low: math.NaN(), High: 40, Unit: "N"}, "up to 40 N, no lower limit"},
		{page.Span{Low: math.NaN(), High: math.NaN(), Unit: "N"}, "interval not known"},
		{page.Span{Low: -inf, High: inf}, "no lower limit and no upper limit"},
		{page.Span{Low: 5, High: 5, Unit: "N"}, "from 5 N to 5 N"},
	} {
		if got := Sentence(page.Say(c.span), Options{}); got != c.want {
			t.Errorf("%+v = %q, want %q", c.span, got, c.want)
		}
	}
}

func TestSigned(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{{12, "+12 N"}, {-12, "−12 N"}, {0, "0 N"}} {
		if got := Sentence(page.Say(page.Num{Value: c.x, Unit: "N", Signed: true}), Options{}); got != c.want {
			t.Errorf("%v signed = %q, want %q", c.x, got, c.want)
		}
	}
	if got := Sentence(page.Say(page.Num{Value: 0.001, Unit: "N", Signed: true, Resolution: 9}),
		Options{}); got != "0.0 N" {
		t.Errorf("a number that shows as zero has a sign: %q", got)
	}
}

func TestUnit(t *testing.T) {
	for canonical, want := range map[string]string{"kg/m3": "kg/m³", "mm2": "mm²", "degC": "°C", "percent": "%",
		"N per kg/m3": "N per kg/m³", "N/mm2": "N/mm²", "kgf*mm": "kgf·mm", "kgf·mm": "kgf·mm", "inch": "inch",
		"mm-1": "mm⁻¹", "": ""} {
		if got := Unit(canonical); got != want {
			t.Errorf("Unit(%q) = %q, want %q", canonical, got, want)
		}
	}
}

// No number that is not zero may look like zero unless its resolution says so, and
// no whole part may be rounded away.
func TestNumbersKeepTheirSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1e-300, 1e14).Draw(t, "x")
		digits := rapid.IntRange(1, 15).Draw(t, "digits")
		text := number(x, "", page.Plain, 0, Options{Digits: digits})
		if strings.Trim(text, "0.") == "" {
			t.Fatalf("%v shows as %q", x, text)
		}
		if whole, _, _ := strings.Cut(text, "."); x >= 10 && len(whole) < len(fixed(math.Floor(x), 0)) {
			t.Fatalf("%v lost digits of its whole part: %q", x, text)
		}
	})
}

// An end of an interval has as many digits more as it takes not to look like zero where it is none. What only rounding
// keeps off zero is zero.
func TestEndsThatAreNotZero(t *testing.T) {
	for _, c := range []struct {
		low, high  float64
		unit       string
		style      page.Style
		span, ends string
	}{
		{0.10, 39, "kgf", page.Plain, "from 0.1 kgf to 39 kgf", "0.1 kgf 39 kgf"},
		{-0.31, 350, "N", page.Plain, "from −0.3 N to 350 N", "−0.3 N 350 N"},
		{-39, -0.004, "kgf", page.Plain, "from −39 kgf to −0.004 kgf", "−39 kgf −0.004 kgf"},
		{0, 39, "kgf", page.Plain, "from 0 kgf to 39 kgf", "0 kgf 39 kgf"},
		{-3e-14, 39, "kgf", page.Plain, "from 0 kgf to 39 kgf", "0 kgf 39 kgf"},
		{0.0002, 0.31, "", page.Fraction, "from 0.02 % to 31 %", "0.02 % 31 %"},
		{0.00002, 0.31, "", page.Fraction, "from 0 % to 31 %", "< 0.01 % 31 %"},
		{12, 40, "N", page.Plain, "from 12 N to 40 N", "12 N 40 N"},
	} {
		half := (c.high - c.low) / 2
		got := Sentence(page.Say(page.Span{Low: c.low, High: c.high, Unit: c.unit, Style: c.style}), Options{})
		if got != c.span {
			t.Errorf("from %v to %v: %q, want %q", c.low, c.high, got, c.span)
		}
		num := func(x float64) page.Num {
			return page.Num{Value: x, Unit: c.unit, Style: c.style, Resolution: half, End: true}
		}
		if got = Sentence(page.Say(num(c.low), " ", num(c.high)), Options{}); got != c.ends {
			t.Errorf("ends %v and %v: %q, want %q", c.low, c.high, got, c.ends)
		}
	}
}

// A size that is rounding alone beside the ends of its interval is 0 in a table; a small number of another unit stays.
func TestTracesInATable(t *testing.T) {
	number := func(x float64, unit string) page.Cell { return page.Cell{Kind: page.Number, Num: x, Unit: unit} }
	table := page.Table{Columns: []page.Column{{ID: "factor"}, {ID: "size"}, {ID: "low"}, {ID: "high"}, {ID: "other"}},
		Rows: [][]page.Cell{{{Kind: page.Text, Text: "pins"}, number(-5.551e-15, "%"), number(-24.35, "%"),
			number(45.43, "%"), number(2e-12, "m")}}}
	s := layOut(table, Options{})
	if got := soft(strings.Join(s.rows[0], " ")); !strings.HasPrefix(got, "pins 0 % −24.35 % 45.43 % 2 × 10⁻¹² m") {
		t.Errorf("%q", got)
	}
	if table.Rows[0][1].Num == 0 {
		t.Error("the table itself was changed")
	}
}
