package groups

import (
	"strings"
	"testing"

	"breakbook/repl/say"
)

// What a check found goes on to say what to type; what the fit allows for is not asked for again.
func TestChecksSayWhatToDo(t *testing.T) {
	for _, c := range []struct{ got, has, hasNot string }{
		{spreadMeans(0.01, "pins", false), "add uneven spread", ""},
		{spreadMeans(0.01, "pins", true), "allows for", "add"},
		{spreadMeans(0.2, "pins", false), "nothing against", "add"},
		{fanMeans(0.01, "break load", true, false), "try its logarithm", ""},
		{fanMeans(0.01, "break load", false, false), "add uneven spread", "logarithm"},
		{fanMeans(0.01, "break load", true, true), "allows for", "add"},
		{bendMeans(0.01, "density"), "try density curved", ""},
		{shapeMeans(0.5, 6), "hardly show", ""},
		{shapeMeans(0.5, 40), "nothing against", "hardly"},
		{oddMeans(0.01, "G7", 55), "before setting it aside", ""},
		{severalMeans([]string{"a", "b"}), "a, b", ""},
		{say.TogetherMeans(1), "cannot say which", ""},
		{say.TogetherMeans(0.95), "hardly", ""},
	} {
		if !strings.Contains(c.got, c.has) || c.hasNot != "" && strings.Contains(c.got, c.hasNot) {
			t.Errorf("%q: wanted %q and not %q", c.got, c.has, c.hasNot)
		}
	}
}
