package render

import "testing"

// What is counted without asking takes the one column that the library of widths says.
func TestNarrowIsOneColumn(t *testing.T) {
	counted := 0
	for r := rune(0); r <= 0x10ffff; r++ {
		if !narrow(r) {
			continue
		}
		counted++
		if w := columns.StringWidth(string(r)); w != 1 {
			t.Errorf("%U takes %d columns", r, w)
		}
	}
	if counted < 1000 {
		t.Errorf("only %d characters are counted", counted)
	}
}
