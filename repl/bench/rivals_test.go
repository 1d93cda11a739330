package bench

import (
	"testing"

	"breakbook/repl/fits"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
)

// The rival that wins depends on specimen x9 of the planted series, and a caution says so.
func TestRivalsTellWhenASpecimenBackWouldTurnThem(t *testing.T) {
	_, e := startedSession(t, planted, `set aside specimen x9 because "tore at its knot"`, "fit load on density",
		"fit load on pins", "rivals fit1, fit2")
	if !warned(e, "Specimen x9 is set aside, and the main answer depends on that") {
		t.Errorf("%v", e.Cautions)
	}
}

// A refit line holds every condition of the rivals, drops their names and stays a line
// that can be typed.
func TestRefitLines(t *testing.T) {
	s, _ := startedSession(t, planted)
	command := func(line string) *phrase.Command {
		t.Helper()
		pieces, _, err := phrase.Split(line)
		if err != nil {
			t.Fatal(err)
		}
		c, err := parser.Parse(pieces[0], s)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	for _, c := range []struct {
		line       string
		conditions []string
		want       string
	}{
		{"fit load on pins", []string{"density is not missing"}, "fit load on pins for density is not missing"},
		{"fit load on pins as mine", []string{"density >= 600"}, "fit load on pins for density >= 600"},
		{"fit load on pins for density >= 600 kg/m3 as mine", []string{"density >= 600 kg/m3", "run is spring"},
			"fit load on pins for run is spring and density >= 600 kg/m3"},
		{"fit load on pins for density >= 600 or run is spring", []string{"load > 1"},
			"fit load on pins for load > 1 and (density >= 600 or run is spring)"},
		{"fit load on pins for run is not spring", nil, "fit load on pins for run is not spring"},
		{"fit load on pins", nil, "fit load on pins"},
	} {
		var conditions []phrase.Condition
		for _, text := range c.conditions {
			conditions = append(conditions, command("fit load on pins for "+text).Clauses().For)
		}
		got := fits.WithCondition(command(c.line), conditions)
		if got != c.want {
			t.Errorf("%s with %v: %q, want %q", c.line, c.conditions, got, c.want)
		}
		command(got)
	}
}
