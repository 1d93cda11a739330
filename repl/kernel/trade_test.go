package kernel

import (
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/repl/page"
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
		{9.80665, "9.81 N"}, {9.80665 * 1.099, "9.81 N"}, {9.80665 * 0.901, "9.81 N"}, {9.80665 * 1.101, ""}, {9.80665 * 0.899, ""},
		{4.4482216, "4.45 N"}, {4.4482216 * 1.101, ""}, {4.4482216 * 0.899, ""},
		{2.2046226, "2.2 pounds-force"}, {2.2046226 * 1.101, ""}, {2.2046226 * 0.899, ""}, {1, ""}, {3, ""},
	} {
		for _, medians := range [][]float64{{100 * c.ratio, 100}, {100, 100 * c.ratio}} {
			got := mixedUnits([]string{"a", "b"}, medians, "N")
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
		if got := mixedUnits([]string{"a", "b"}, medians, "N"); got != nil {
			t.Errorf("medians %v are suspected", medians)
		}
	}
}

// 100 and 1400 kg/m3 themselves are wood; 87.4 lb/ft3 is 1400.01 kg/m3 by the exact pound and foot.
func TestDensitiesNoWoodHas(t *testing.T) {
	for _, c := range []struct {
		file  string
		count int
	}{
		{"density (kg/m3)\n100\n1400\n", 0}, {"density (kg/m3)\n99.9\n1400.1\n600\n", 2}, {"density (g/cm3)\n0.62\n62\n", 1},
		{"density (lb/ft3)\n87.39\n87.4\n", 1}, {"density\n0.6\n9999\n", 0}, {"density (kg/m3)\n\n600\n", 0},
	} {
		f, _, err := frames.Read(t.Context(), "d.csv", []byte(c.file), frames.Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		got := densityCautions(f, f.Columns())
		if c.count == 0 && got != nil || c.count > 0 && (len(got) != 1 || got[0][0] != page.Part(page.Num{Value: float64(c.count), Style: page.Count})) {
			t.Errorf("%q: %q, want %d values", c.file, got, c.count)
		}
	}
}

func TestOnlyCureTemperaturesHaveAChalkPoint(t *testing.T) {
	degC, _ := units.Parse("degC")
	for name, want := range map[string]bool{"cure_temp": true, "temperature": true, "glue_room": true, "test_temp": false, "lab_temperature": false} {
		if got := cureTemperature(frames.Column{Name: name, Unit: degC}); got != want {
			t.Errorf("%s: %t, want %t", name, got, want)
		}
	}
	if cureTemperature(frames.Column{Name: "cure_temp", Unit: degC, Difference: true}) || cureTemperature(frames.Column{Name: "cure_temp"}) {
		t.Error("a difference, or a number without a unit, is taken for a temperature")
	}
}

func TestScatterIsJudgedFromFiveSpecimensOn(t *testing.T) {
	newton, _ := units.Parse("N")
	alike := cell{group: group{level: "alike", values: []float64{100, 101, 102, 100, 101}}}
	wild := cell{group: group{level: "wild", values: []float64{20, 200, 100, 40, 180}}}
	few := cell{group: group{level: "few", values: []float64{100, 100.5, 100, 100.5}}}
	usual := cell{group: group{level: "usual", values: []float64{100, 120, 90, 110, 85}}}
	load := &response{column: frames.Column{Name: "load", Unit: newton}}
	got := spreadCautions(t.Context(), load, []cell{alike, wild, few, usual})
	if len(got) != 2 || !strings.Contains(wordsOf(got[0]), " in alike: under ") || !strings.Contains(wordsOf(got[1]), " in wild: over ") {
		t.Errorf("%q", got)
	}
	density, _ := units.Parse("kg/m3")
	if got := spreadCautions(t.Context(), &response{column: frames.Column{Name: "density", Unit: density}}, []cell{alike}); got != nil {
		t.Errorf("densities may well be alike: %q", got)
	}
	if got := spreadCautions(t.Context(), &response{column: load.column, function: "ln"}, []cell{alike}); got != nil {
		t.Errorf("the scatter of logarithms is no coefficient of variation: %q", got)
	}
}
