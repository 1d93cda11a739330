package parser

import (
	"slices"
	"testing"

	"breakbook/frames/units"
	"breakbook/repl/phrase"
)

func TestComplete(t *testing.T) {
	files := func(prefix string) []string {
		return []string{prefix + "tes.csv", prefix + " two.csv", prefix + "tes.brk", prefix + "tes.html",
			prefix + "old/"}
	}
	sheets := func(path string) []string {
		if path != "tests.xlsx" {
			return nil
		}
		return []string{"Tests 2026", "tension", "Sums"}
	}
	for _, c := range []struct {
		line  string
		pos   int // -1: the end
		start int
		want  []string
	}{
		{"co", -1, 0, []string{"compare", "conclude", "confidence", "convert", "correct", "count"}},
		{"look; COM", -1, 6, []string{"compare"}},
		{"open tests.xlsx sheet ", -1, 22, []string{`"Tests 2026"`, `"tension"`, `"Sums"`}},
		{"open tests.xlsx sheet \"te", -1, 22, []string{`"Tests 2026"`, `"tension"`}},
		{"open tests.xlsx sheet s", -1, 22, []string{`"Sums"`}},
		{"open other.xlsx sheet ", -1, 22, nil},
		{"calibrate load from tests.xlsx sheet ", -1, 37, []string{`"Tests 2026"`, `"tension"`, `"Sums"`}},
		{"read curves a.csv tests.xlsx by specimen sheet su", -1, 47, []string{`"Sums"`}},
		{"show ", -1, 5, []string{"series", "results", "aside", "caution", "anova1", "drove1", "fit1", "fit2",
			"odds1", "olddrove", "oldodds",
			"oldfit", "oldplan", "oldshares", "plan1", "plan2", "shares1", "shares2"}},
		{"average load by ", -1, 16, []string{"pins", "thickness", "glue", "failure"}},
		{"fit ln(d", -1, 7, []string{"density"}},
		{"fit load on de", -1, 12, []string{"density"}},
		{"fit load on density,", -1, 20, []string{"load", "density", "specific_gravity", "specific", "moisture", "pins",
			"thickness", "glue", "board", "failure", "together(", "step(", "kink(", "ln(", "log10(", "sqrt(", "exp(",
			"abs("}},
		{"fit load on density ", -1, 20, []string{"curved", "resistant", "with series",
			"series differ by", "blocked by", "weighted by", "uneven spread",
			"through zero", "for", "from", "as", "each of", "confidence", "worth"}},
		{"fit load on density worth 5% ", -1, 29, []string{"resistant", "with series",
			"series differ by", "blocked by", "weighted by", "uneven spread",
			"through zero", "for", "from", "as", "each of", "confidence"}},
		{"compare load by glue against ", -1, 29, []string{"hide", `"hide hot"`, "two-part", `"5"" clamp"`,
			`"größe; a, b"`, "missing"}},
		{`compare load by glue against "h`, -1, 29, []string{`"hide hot"`, "hide"}},
		{"rows for pins is p", -1, 17, []string{"pair"}},
		{"rows for load > 3 ", -1, 18, []string{"N", "kN", "kgf", "lbf", "and", "or", "from"}},
		{"anova of ", -1, 9, []string{"fit1", "oldfit", "fit2"}},
		{"average load by  from old-2024", 16, 16, []string{"pins", "thickness", "glue", "failure"}},
		{"adjusted ", -1, 9, []string{"pins", "thickness", "glue", "failure"}},
		{"switch to o", -1, 10, []string{"old-2024"}},
		{"average größe by d", -1, 17, nil},
		{"average größe by d from old-2024", 18, 17, nil},
		{"open ga", -1, 5, []string{"gates.csv", `"ga two.csv"`, "gaold/"}},
		{"sheet of plan1 to ga", -1, 18, []string{"gates.csv", `"ga two.csv"`, "gates.html", "gaold/"}},
		{"replay ga", -1, 7, []string{"gates.brk", "gaold/"}},
		{"save book ga", -1, 10, []string{"gates.brk", "gaold/"}},
		{"average l", -1, 8, []string{"load", "ln(", "log10("}},
		{"bring back specimen G", -1, 20, []string{"G1", "G12", `"G 3"`}},
		{"bring back specimen G1, g", -1, 24, []string{"G1", "G12", `"G 3"`}},
		{"correct load of G1", -1, 16, []string{"G1", "G12"}},
		{"fit load on pins worth ", -1, 23, []string{"5%", "10%", "20%"}},
		{"fit load on pins worth 1", -1, 23, []string{"10%"}},
		{"plan load by pins detecting ", -1, 28, []string{"5%", "10%", "20%"}},
		{"confidence 9", -1, 11, []string{"90%", "95%", "99%"}},
		{"help com", -1, 5, []string{"compare"}},
		{"convert density to ", -1, 19, []string{"kg/m3", "g/cm3", "lb/ft3"}},
		{"levels of pins are none,\np", -1, 25, []string{"pair"}},
		{"mark load as bl", -1, 13, []string{"block"}},
		{"note anything ", -1, 14, nil},
		{"nonsense ", -1, 9, nil},
		{"co", 99, 0, []string{"compare", "conclude", "confidence", "convert", "correct", "count"}},
		{"work out x = den", -1, 13, []string{"density"}},
		{"work out x = load * 3 ", -1, 22, append(units.Known(), "if")},
		{"work out x = load if pins is p", -1, 29, []string{"pair"}},
		{"work out x = load if pins is pair, ", -1, 35, []string{"otherwise"}},
		{"merge levels h", -1, 13, nil},
		{"merge levels  into glued of glue", 13, 13, nil},
		{"pool gates, o", -1, 12, []string{"old-2024"}},
		{"band density at 500 ", -1, 20, []string{"kg/m3", "g/cm3", "lb/ft3", "as"}},
		{"set aside ", -1, 10, []string{"specimen", "row", "for"}},
		{"set aside for load > 3 N b", -1, 25, []string{"because"}},
		{"put old-2024 beside gates by g", -1, 29, []string{"größe"}},
		{"compare", -5, 0, phrase.Standard().FirstWords()},
	} {
		pos := c.pos
		if pos == -1 {
			pos = len([]rune(c.line))
		}
		start, got := Complete(c.line, pos, newBench(), Disk{files, sheets})
		slices.Sort(got)
		want := slices.Sorted(slices.Values(c.want))
		if start != c.start || !slices.Equal(got, want) {
			t.Errorf("%q at %d: %d %q\n want %d %q", c.line, pos, start, got, c.start, want)
		}
	}
}

// The words that stand for the columns marked so are offered where a column of their kind may stand.
func TestRoleWordsAreCompleted(t *testing.T) {
	k := newBench()
	k.current = "old-2024"
	for line, want := range map[string][]string{
		"average l":          {"ln(", "load", "log10("},
		"average größe by l": nil,
		"fit größe on lo":    {"load", "log10("},
		"look br":            {"break_load"},
	} {
		if _, got := Complete(line, len([]rune(line)), k, Disk{}); !slices.Equal(slices.Sorted(slices.Values(got)),
			want) {
			t.Errorf("%s: %q, want %q", line, got, want)
		}
	}
}

func TestCompletionsCanBeTyped(t *testing.T) {
	k := newBench()
	for _, line := range []string{"compare load by glue against ", "average load by ", "anova of ",
		"draw residuals of ", "switch to ", "unit load is ", "mark pins as "} {
		_, words := Complete(line, len([]rune(line)), k, Disk{})
		if len(words) == 0 {
			t.Errorf("%q: nothing to complete", line)
		}
		for _, w := range words {
			if _, err := Parse(phrase.Piece{Text: line + w, At: 1}, k); err != nil {
				t.Errorf("%s%s: %v", line, w, err)
			}
		}
	}
}

// TestCompletionGoesOnInsideAQuotedMark completes a level with an inch mark, written as the
// scanner reads it.
func TestCompletionGoesOnInsideAQuotedMark(t *testing.T) {
	for _, line := range []string{`rows for glue is "5`, `rows for glue is "5""`} {
		start, got := Complete(line, len([]rune(line)), newBench(), Disk{})
		if want := []string{`"5"" clamp"`}; start != 17 || !slices.Equal(got, want) {
			t.Fatalf("%s: %d %q, want %q", line, start, got, want)
		}
		whole := line[:start] + got[0]
		c, err := Parse(phrase.Piece{Text: whole, At: 1}, newBench())
		if err != nil || c.String() != whole {
			t.Errorf("%s is read as %v: %v", whole, c, err)
		}
	}
}
