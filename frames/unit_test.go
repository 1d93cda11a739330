package frames

import (
	"testing"

	"breakbook/frames/units"
)

func unit(t testing.TB, s string) units.Unit {
	t.Helper()
	u, ok := units.Parse(s)
	if !ok {
		t.Fatalf("%q is no unit", s)
	}
	return u
}
