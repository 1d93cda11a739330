package meant

import (
	"strings"
	"testing"
)

func TestBy(t *testing.T) {
	names := []string{"load", "break_load", "density", "pins", "pin_row", "gates_spring.csv"}
	for typed, want := range map[string]string{
		"laod": "load", "lod": "load", "LOAD ": "load", "Break load": "break_load", "brake load": "break_load",
		"den": "density", "densty": "density", "pin": "pins", "pin r": "pin_row",
		"gates_sprnig.csv": "gates_spring.csv",
		"l":                "", "xxad": "", "moisture": "", "": "", strings.Repeat("load", 200): "",
	} {
		if got := By(typed, names); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
	if got := Hint("laod", names); got != "did you mean load?" {
		t.Errorf("hint %q", got)
	}
	if got := Hint("moisture", names); got != "" {
		t.Errorf("hint %q", got)
	}
}
