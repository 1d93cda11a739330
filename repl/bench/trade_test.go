package bench

import (
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// wordsOf is the words of a sentence without its numbers.
func wordsOf(s page.Sentence) string {
	var b strings.Builder
	for _, p := range s {
		if w, ok := p.(page.Word); ok {
			b.WriteString(string(w))
		}
	}
	return b.String()
}

func TestOnlyCureTemperaturesHaveAChalkPoint(t *testing.T) {
	degC, _ := units.Parse("degC")
	for name, want := range map[string]bool{"cure_temp": true, "temperature": true, "glue_room": true,
		"test_temp": false, "lab_temperature": false} {
		if got := cureTemperature(frames.Column{Name: name, Unit: degC}); got != want {
			t.Errorf("%s: %t, want %t", name, got, want)
		}
	}
	if cureTemperature(frames.Column{Name: "cure_temp", Unit: degC, Difference: true}) ||
		cureTemperature(frames.Column{Name: "cure_temp"}) {
		t.Error("a difference, or a number without a unit, is taken for a temperature")
	}
}

func TestScatterIsComparedFromFiveSpecimensOn(t *testing.T) {
	newton, _ := units.Parse("N")
	alike := session.Cell{Group: session.Group{Level: "alike", Values: []float64{100, 101, 102, 100, 101}}}
	wild := session.Cell{Group: session.Group{Level: "wild", Values: []float64{20, 200, 100, 40, 180}}}
	few := session.Cell{Group: session.Group{Level: "few", Values: []float64{100, 100.5, 100, 100.5}}}
	usual := session.Cell{Group: session.Group{Level: "usual", Values: []float64{100, 120, 90, 110, 85}}}
	load := &session.Response{Column: frames.Column{Name: "load", Unit: newton}}
	got := spreadCautions(t.Context(), load, []session.Cell{alike, wild, few, usual})
	if len(got) != 2 || !strings.Contains(wordsOf(got[0]), " in alike: under ") ||
		!strings.Contains(wordsOf(got[1]), " in wild: over ") {
		t.Errorf("%q", got)
	}
	density, _ := units.Parse("kg/m3")
	if got := spreadCautions(t.Context(), &session.Response{Column: frames.Column{Name: "density", Unit: density}},
		[]session.Cell{alike}); got != nil {
		t.Errorf("densities may well be alike: %q", got)
	}
	if got := spreadCautions(t.Context(), &session.Response{Column: load.Column, Function: "ln"},
		[]session.Cell{alike}); got != nil {
		t.Errorf("the scatter of logarithms is no coefficient of variation: %q", got)
	}
}
