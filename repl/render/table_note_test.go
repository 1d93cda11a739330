package render

import "testing"

// TestNotesExplainWhatIsShown: a part of a note about columns that had no room is left out, one
// that explains a column still shown is not.
func TestNotesExplainWhatIsShown(t *testing.T) {
	const note = "difference: second less first; low and high: 95 % interval; detectable: the smallest true difference"
	for _, c := range []struct {
		left []string
		want string
	}{
		{[]string{"detectable (kgf)"}, "difference: second less first; low and high: 95 % interval"},
		{[]string{"high (N)"}, note},
		{[]string{"low (N)", "high (N)", "detectable (N)"}, "difference: second less first"},
		{[]string{"statistic"}, note},
	} {
		if got := noteOf(note, c.left); got != c.want {
			t.Errorf("without %v: %q, want %q", c.left, got, c.want)
		}
	}
}
