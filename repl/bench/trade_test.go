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

// The factors are those of the exact definitions: 9.80665, 4.4482216 and 2.2046226; the
// suspicion reaches a tenth to either side of each.
func TestFactorsBetweenUnitsOfForceRaiseTheSuspicion(t *testing.T) {
	for _, c := range []struct {
		ratio float64
		want  string
	}{
		{9.80665, "9.81 N"}, {9.80665 * 1.099, "9.81 N"}, {9.80665 * 0.901, "9.81 N"}, {9.80665 * 1.101, ""},
		{9.80665 * 0.899, ""},
		{4.4482216, "4.45 N"}, {4.4482216 * 1.101, ""}, {4.4482216 * 0.899, ""},
		{2.2046226, "2.2 pounds-force"}, {2.2046226 * 1.101, ""}, {2.2046226 * 0.899, ""}, {1, ""}, {3, ""},
	} {
		for _, medians := range [][]float64{{100 * c.ratio, 100}, {100, 100 * c.ratio}} {
			got := session.MixedUnits([]string{"a", "b"}, medians, "N")
			if c.want == "" {
				if len(got) != 0 {
					t.Errorf("a ratio of %v is suspected: %q", c.ratio, wordsOf(got[0]))
				}
				continue
			}
			if len(got) != 1 || !strings.Contains(wordsOf(got[0]), c.want) {
				t.Errorf("a ratio of %v gives %q, want one with %s", c.ratio, got, c.want)
			}
		}
	}
	for _, medians := range [][]float64{{page.None, 100}, {0, 100}, {-981, -100}} {
		if got := session.MixedUnits([]string{"a", "b"}, medians, "N"); got != nil {
			t.Errorf("medians %v are suspected", medians)
		}
	}
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

func TestScatterIsJudgedFromFiveSpecimensOn(t *testing.T) {
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
