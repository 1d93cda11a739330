package vectors

import (
	"testing"

	"breakbook/frames"
	"breakbook/frames/reading"
	"breakbook/frames/units"
)

func opened(t testing.TB, file string) *frames.Frame {
	t.Helper()
	f, _, err := reading.Read(t.Context(), "gates.csv", []byte(file), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func unit(t testing.TB, s string) units.Unit {
	t.Helper()
	u, ok := units.Parse(s)
	if !ok {
		t.Fatalf("%q is no unit", s)
	}
	return u
}

func rows(mask []bool) []int {
	var at []int
	for i, m := range mask {
		if m {
			at = append(at, i+1)
		}
	}
	return at
}
