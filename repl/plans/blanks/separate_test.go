package blanks

import (
	"strings"
	"testing"

	"breakbook/repl/render"
)

// Joints that leave the association where it is are not said to tell the two apart better.
func TestSeparatedAnswer(t *testing.T) {
	for _, c := range []struct {
		now, then float64
		settled   bool
		want      string
	}{
		{1, 0.95, false, "Even then pins and place would be confounded"},
		{1, 0.5, false, "Now nothing tells pins from place"},
		{0.95, 0.5, true, "Now pins and place are confounded"},
		{0.32, 0.3, true, "These joints would tell them apart better."},
		{0.309, 0.3, true, "These joints would make that surer."},
		{0, 0, true, "These joints would make that surer."},
		{0.1, 0.2, true, "These joints would make that surer."},
	} {
		got := render.Prose(separatedAnswer("pins", "place", c.now, c.then, c.settled), render.Options{})
		if !strings.Contains(got, c.want) {
			t.Errorf("%g to %g: %q, want %q", c.now, c.then, got, c.want)
		}
	}
}
