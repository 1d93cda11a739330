package workbook

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Serial numbers and the dates they stand for. That of 1910 is an example of ECMA-376 part 1,
// 18.17.4.1, from memory; the others are counted by hand. testdata/reference has what another
// library makes of many more.
func TestDates(t *testing.T) {
	for _, c := range []struct {
		from1904 bool
		serial   float64
		how      shown
		want     string
	}{
		{false, 1, date, "1900-01-01"},
		{false, 59, date, "1900-02-28"},
		{false, 60, date, ""},
		{false, 61, date, "1900-03-01"},
		{false, 2, date, "1900-01-02"},
		{false, 3687.4207639, moment, "1910-02-03 10:05:54.001"},
		{false, 2958465, date, "9999-12-31"},
		{false, 2958466, date, ""},
		{false, -1, date, ""},
		{false, 0.5, date, ""},
		{true, -1, date, ""},
		{false, 38751, date, "2006-02-03"},
		{false, 46083.5, date, "2026-03-02"},
		{false, 46083.604166666664, moment, "2026-03-02 14:30"},
		{false, 46083.9999999999, moment, "2026-03-03 00:00"},
		{false, 0.604166666666667, clock, "14:30"},
		{false, 0.6042245370370371, clock, "14:30:05"},
		{false, 46083.604166666664, clock, "14:30"},
		{true, 0, date, "1904-01-01"},
		{true, 1, date, "1904-01-02"},
		{true, 37289, date, "2006-02-03"},
		{true, 44621, date, "2026-03-02"},
		{true, 2957003, date, "9999-12-31"},
	} {
		got, ok := calendar{c.from1904}.text(c.serial, c.how)
		if got != c.want || ok != (c.want != "") {
			t.Errorf("%v as %d from 1904 %v: %q, %v; want %q", c.serial, c.how, c.from1904, got, ok, c.want)
		}
	}
	for days, want := range map[float64]string{1.5: "36:00", 0.5: "12:00", 1.0 / 86400: "0:00:01", 0: "0:00",
		100.25: "2406:00"} {
		if got := lasting(days); got != want {
			t.Errorf("%v days last %q, want %q", days, got, want)
		}
	}
}

func TestNumbersKeepTheirDigits(t *testing.T) {
	b := &Book{formats: []format{{}, {shown: percent}, {unit: "mm"}, {unit: "kN", scale: 3}, {digits: 3},
		{shown: date}}}
	for _, c := range []struct {
		stored string
		style  int
		want   string
		kind   kind
	}{
		{"900.123456789", 0, "900.123456789", number},
		{"0.30000000000000004", 0, "0.30000000000000004", number},
		{"12.300000000000001", 0, "12.3", number}, // the same number
		{"1.0000000000000001E-2", 0, "0.01", number},
		{"1E-7", 0, "1e-7", number},
		{"1E+20", 0, "1e20", number},
		{"-0", 0, "-0", number},
		{"0.12", 1, "12%", number},
		{"7.0000000000000007E-2", 1, "7%", number},
		{"0.07", 1, "7%", number},
		{"-0.125", 1, "-12.5%", number},
		{"1", 1, "100%", number},
		{"1.1E-3", 1, "0.11%", number},
		{"0", 1, "0%", number},
		{"12.25", 2, "12.25 mm", number},
		{"12345", 3, "12.345 kN", number},
		{"7", 4, "007", other},
		{"1234", 4, "1234", other},
		{"7.5", 4, "7.5", number},
		{"46083", 5, "2026-03-02", other},
		{"-5", 5, "-5", number},
		{"x", 0, "x", other},
		{"NaN", 0, "NaN", other},
		{"1e999", 0, "1e999", other},
		{"5", 99, "5", number},
		{"5", -1, "5", number},
	} {
		if got, kind := b.number(c.stored, c.style); got != c.want || kind != c.kind {
			t.Errorf("%s in style %d: %q of kind %d, want %q of %d", c.stored, c.style, got, kind, c.want, c.kind)
		}
	}
}

// A percentage of any number reads back as the number whose decimal digits are the same,
// two places on; a plain number reads back as itself.
func TestMovedDigits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64().Filter(func(x float64) bool { return !math.IsInf(x, 0) && !math.IsNaN(x) }).Draw(t, "x")
		if got, err := strconv.ParseFloat(moved(x, 0), 64); err != nil || got != x {
			t.Errorf("%v is written %s", x, moved(x, 0))
		}
		digits := func(s string) string {
			s, _, _ = strings.Cut(s, "e")
			return strings.Trim(strings.NewReplacer(".", "", "-", "").Replace(s), "0")
		}
		if digits(moved(x, 2)) != digits(moved(x, 0)) {
			t.Errorf("%v has other digits as a percentage: %s", x, moved(x, 2))
		}
	})
}

func TestUnescaped(t *testing.T) {
	for in, want := range map[string]string{
		"a_x000D_\nb": "a\nb", "a_x000A_b": "a\nb", "_x005F_x000D_": "_x000D_", "_x00": "_x00", "_xZZZZ_": "_xZZZZ_",
		"a\r\nb\rc": "a\nb\nc",
		"max_x_y":   "max_x_y",
	} {
		if got := unescaped(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}

func TestPlaces(t *testing.T) {
	for column, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 701: "ZZ", 702: "AAA", 16383: "XFD"} {
		if got := Letters(column); got != want {
			t.Errorf("column %d is %s, want %s", column, got, want)
		}
		if got, ok := columnOf(want + "7"); got != column || !ok {
			t.Errorf("%s7 is in column %d, %v", want, got, ok)
		}
	}
	if a, ok := areaOf("B2:AA14"); !ok || a != (Area{2, 14, 1, 26}) {
		t.Errorf("%+v, %v", a, ok)
	}
	for _, wrong := range []string{"", "B2", "2:3", "B:C", "B0:C1", ":"} {
		if a, ok := areaOf(wrong); ok {
			t.Errorf("%q is %+v", wrong, a)
		}
	}
}
