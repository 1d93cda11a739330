package say

import (
	"strings"
	"testing"
)

// What a check found goes on to say what to type; what the fit allows for is not asked for again.
func TestChecksSayWhatToDo(t *testing.T) {
	for _, c := range []struct{ got, has, hasNot string }{
		{SpreadMeans(0.01, "pins", false), "add uneven spread", ""},
		{SpreadMeans(0.01, "pins", true), "allows for", "add"},
		{SpreadMeans(0.2, "pins", false), "nothing against", "add"},
		{FanMeans(0.01, "break load", true, false), "try its logarithm", ""},
		{FanMeans(0.01, "break load", false, false), "add uneven spread", "logarithm"},
		{FanMeans(0.01, "break load", true, true), "allows for", "add"},
		{BendMeans(0.01, "density"), "try density curved", ""},
		{ShapeMeans(0.5, 6), "hardly show", ""},
		{ShapeMeans(0.5, 40), "nothing against", "hardly"},
		{OddMeans(0.01, "G7"), "before setting it aside", ""},
		{SeveralMeans([]string{"a", "b"}, 10), "a, b", ""},
		{TogetherMeans(1), "cannot say which", ""},
		{TogetherMeans(0.95), "hardly", ""},
	} {
		if !strings.Contains(c.got, c.has) || c.hasNot != "" && strings.Contains(c.got, c.hasNot) {
			t.Errorf("%q: wanted %q and not %q", c.got, c.has, c.hasNot)
		}
	}
}
