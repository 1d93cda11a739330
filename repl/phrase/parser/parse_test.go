package parser

import (
	"reflect"
	"slices"
	"testing"

	"breakbook/repl/phrase"
)

func parsed(t *testing.T, line string, k phrase.Known) *phrase.Command {
	t.Helper()
	c, err := Parse(phrase.Piece{Text: line, At: 1}, k)
	if err != nil {
		t.Fatalf("%s: %+v", line, err)
	}
	return c
}

func TestConditions(t *testing.T) {
	load := phrase.ColumnRef{Column: "load", At: 10}
	pins := phrase.ColumnRef{Column: "pins", At: 10}
	for _, c := range []struct {
		line string
		want phrase.Condition
	}{
		{"rows for load is missing", phrase.Missing{Column: load, Negate: false, At: 10}},
		{"rows for load is not missing", phrase.Missing{Column: load, Negate: true, At: 10}},
		{`rows for glue is "missing"`, phrase.Is{Column: phrase.ColumnRef{Column: "glue", At: 10},
			Values: []phrase.Value{{Text: "missing", At: 18}}, Negate: false, At: 10}},
		{"rows for pins = pair", phrase.Is{Column: pins, Values: []phrase.Value{{Text: "pair", At: 17}}, Negate: false,
			At: 10}},
		{"rows for PINS is other than Pair", phrase.Is{Column: pins, Values: []phrase.Value{{Text: "pair", At: 29}},
			Negate: true, At: 10}},
		{"rows for pins is not among pair, none, from gates",
			phrase.Is{Column: pins, Values: []phrase.Value{{Text: "pair",
				At: 28}, {Text: "none", At: 34}}, Negate: true, At: 10}},
		{"rows for glue is hide hot", phrase.Is{Column: phrase.ColumnRef{Column: "glue", At: 10},
			Values: []phrase.Value{{Text: "hide hot", At: 18}}, Negate: false, At: 10}},
		{"rows for thickness is 3.4 cm", phrase.Is{Column: phrase.ColumnRef{Column: "thickness", At: 10},
			Values: []phrase.Value{{Text: "34", At: 23}}, Negate: false, At: 10}},
		{"rows for board is 007-a", phrase.Is{Column: phrase.ColumnRef{Column: "board", At: 10},
			Values: []phrase.Value{{Text: "007-a", At: 19}}, Negate: false, At: 10}},
		{"rows for load≥−5kN", phrase.Inequality{Column: load, Op: ">=",
			Value: phrase.Amount{Value: -5, Unit: "kN", At: 15}, At: 10}},
		{"rows for moisture < 7 %", phrase.Inequality{Column: phrase.ColumnRef{Column: "moisture", At: 10}, Op: "<",
			Value: phrase.Amount{Value: 7, Unit: "percent", At: 21}, At: 10}},
		{"rows for load > 1 or load < 2 and not pins is pair", phrase.Or{
			Left: phrase.Inequality{Column: load, Op: ">", Value: phrase.Amount{Value: 1, At: 17}, At: 10},
			Right: phrase.And{Left: phrase.Inequality{Column: phrase.ColumnRef{Column: "load", At: 22}, Op: "<",
				Value: phrase.Amount{Value: 2, At: 29}, At: 22},
				Right: phrase.Not{Inner: phrase.Is{Column: phrase.ColumnRef{Column: "pins", At: 39},
					Values: []phrase.Value{{Text: "pair", At: 47}}, Negate: false, At: 39}, At: 35}, At: 22}, At: 10}},
		{"rows for (load > 1 or load < 2) and load > 3", phrase.And{
			Left: phrase.Or{Left: phrase.Inequality{Column: phrase.ColumnRef{Column: "load", At: 11}, Op: ">",
				Value: phrase.Amount{Value: 1, At: 18}, At: 11},
				Right: phrase.Inequality{Column: phrase.ColumnRef{Column: "load", At: 23}, Op: "<",
					Value: phrase.Amount{Value: 2,
						At: 30}, At: 23}, At: 11},
			Right: phrase.Inequality{Column: phrase.ColumnRef{Column: "load", At: 37}, Op: ">",
				Value: phrase.Amount{Value: 3,
					At: 44}, At: 37}, At: 10}},
	} {
		if got := parsed(t, c.line, newBench()).Clauses().For; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s\n  got  %+v\n  want %+v", c.line, got, c.want)
		}
	}
}

func TestColumnsAsTyped(t *testing.T) {
	for typed, want := range map[string]string{
		"specific gravity": "specific_gravity", "SPECIFIC_GRAVITY": "specific_gravity",
		"specific  gravity": "specific_gravity",
		"specific":          "specific", `"Specific gravity"`: "specific_gravity", "Load (N)": "load",
		`"load (n)"`: "load",
	} {
		if got := part[phrase.Columns](t, parsed(t, "look "+typed+", pins", newBench())).List[0].Column; got != want {
			t.Errorf("%s is read as %s, want %s", typed, got, want)
		}
	}
}

// part is a part that a command has to have.
func part[T any](t *testing.T, c *phrase.Command) T {
	t.Helper()
	got, ok := phrase.Part[T](c)
	if !ok {
		t.Fatalf("%s has no %T", c.Input, got)
	}
	return got
}

func TestSeriesDecidesWhoseColumns(t *testing.T) {
	k := newBench()
	c := parsed(t, "average load by dowels, from old-2024", k)
	if y := part[phrase.Response](t, c).Column.Column; y != "break_load" || c.Clauses().From.Text != "old-2024" {
		t.Errorf("the stand-in load is %s from %v", y, c.Clauses().From)
	}
	c = parsed(t, "adjusted dowels of oldfit", k)
	if part[phrase.ColumnRef](t, c).Column != "dowels" || part[phrase.Name](t, c) != (phrase.Name{Text: "oldfit",
		At: 20}) {
		t.Errorf("it is read as %+v", c.Do)
	}
	c = parsed(t, "predict OLDFIT given größe 12 mm", k)
	if part[phrase.Name](t, c) != (phrase.Name{Text: "oldfit", At: 9}) {
		t.Errorf("it is read as %+v", c.Do)
	}
}

func TestResultLeftOutIsTheLatestThatFits(t *testing.T) {
	for _, line := range []string{"anova", "anova sequential", "adjusted pins", "compare pins against pair",
		"predict given pins pair", "draw residuals"} {
		if got := part[phrase.Name](t, parsed(t, line, newBench())); got != (phrase.Name{Text: "fit2"}) {
			t.Errorf("%s takes %v", line, got)
		}
	}
	c := parsed(t, "draw load against density", newBench())
	if _, there := phrase.Part[phrase.Name](c); there {
		t.Error("a line of a fit is drawn that was not asked for")
	}
}

func TestOptionsAndClausesInAnyOrder(t *testing.T) {
	a := parsed(t, "fit load on density as x through zero for pins is pair confidence 90%", newBench())
	b := parsed(t, "fit load on density, confidence 90%, for pins is pair, through zero, as x", newBench())
	for _, c := range []*phrase.Command{a, b} {
		if !c.Do.(*phrase.Fit).ThroughZero || c.Clauses().As.Text != "x" || c.Clauses().For == nil ||
			c.Clauses().Confidence.Value != 0.9 {
			t.Errorf("%s: %+v", c.Input, c)
		}
	}
}

func TestDeletingAnEntryDeletesTheCommand(t *testing.T) {
	for i, e := range phrase.Table {
		l, err := phrase.Compile(slices.Delete(slices.Clone(phrase.Table), i, i+1))
		if err != nil {
			t.Fatal(err)
		}
		if c, err := ParseIn(l, phrase.Piece{Text: e.Example, At: 1}, exampleSeries{}); err == nil {
			t.Errorf("%s is still read, as %s", e.Example, c.Entry.Name)
		}
		if slices.ContainsFunc(Describe(l, nil), func(d Description) bool { return d.Name == e.Name }) {
			t.Errorf("it is still described: %s", e.Name)
		}
	}
}

func TestEveryExampleIsTheCommandItExplains(t *testing.T) {
	for _, e := range phrase.Table {
		if c := parsed(t, e.Example, exampleSeries{}); c.Entry.Name != e.Name {
			t.Errorf("%s is read as %s, not %s", e.Example, c.Entry.Name, e.Name)
		}
	}
}
