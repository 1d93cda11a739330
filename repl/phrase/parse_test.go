package phrase

import (
	"reflect"
	"slices"
	"testing"
)

func parsed(t *testing.T, line string, k Known) *Command {
	t.Helper()
	c, err := Parse(Piece{Text: line, At: 1}, k)
	if err != nil {
		t.Fatalf("%s: %+v", line, err)
	}
	return c
}

func TestConditions(t *testing.T) {
	load := ColumnRef{"load", 10}
	pins := ColumnRef{"pins", 10}
	for _, c := range []struct {
		line string
		want Condition
	}{
		{"rows for load is missing", Missing{load, false, 10}},
		{"rows for load is not missing", Missing{load, true, 10}},
		{`rows for glue is "missing"`, Is{ColumnRef{"glue", 10}, []Value{{Text: "missing", At: 18}}, false, 10}},
		{"rows for pins = pair", Is{pins, []Value{{Text: "pair", At: 17}}, false, 10}},
		{"rows for PINS is other than Pair", Is{pins, []Value{{Text: "pair", At: 29}}, true, 10}},
		{"rows for pins is not among pair, none, from gates", Is{pins, []Value{{Text: "pair", At: 28}, {Text: "none", At: 34}}, true, 10}},
		{"rows for glue is hide hot", Is{ColumnRef{"glue", 10}, []Value{{Text: "hide hot", At: 18}}, false, 10}},
		{"rows for thickness is 3.4 cm", Is{ColumnRef{"thickness", 10}, []Value{{Text: "34", At: 23}}, false, 10}},
		{"rows for board is 007-a", Is{ColumnRef{"board", 10}, []Value{{Text: "007-a", At: 19}}, false, 10}},
		{"rows for load≥−5kN", Inequality{load, ">=", Amount{Value: -5, Unit: "kN", At: 15}, 10}},
		{"rows for moisture < 7 %", Inequality{ColumnRef{"moisture", 10}, "<", Amount{Value: 7, Unit: "percent", At: 21}, 10}},
		{"rows for load > 1 or load < 2 and not pins is pair", Or{
			Inequality{load, ">", Amount{Value: 1, At: 17}, 10},
			And{Inequality{ColumnRef{"load", 22}, "<", Amount{Value: 2, At: 29}, 22},
				Not{Is{ColumnRef{"pins", 39}, []Value{{Text: "pair", At: 47}}, false, 39}, 35}, 22}, 10}},
		{"rows for (load > 1 or load < 2) and load > 3", And{
			Or{Inequality{ColumnRef{"load", 11}, ">", Amount{Value: 1, At: 18}, 11},
				Inequality{ColumnRef{"load", 23}, "<", Amount{Value: 2, At: 30}, 23}, 11},
			Inequality{ColumnRef{"load", 37}, ">", Amount{Value: 3, At: 44}, 37}, 10}},
	} {
		if got := parsed(t, c.line, newBench()).Clauses().For; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s\n  got  %+v\n  want %+v", c.line, got, c.want)
		}
	}
}

func TestColumnsAsTyped(t *testing.T) {
	for typed, want := range map[string]string{
		"specific gravity": "specific_gravity", "SPECIFIC_GRAVITY": "specific_gravity", "specific  gravity": "specific_gravity",
		"specific": "specific", `"Specific gravity"`: "specific_gravity", "Load (N)": "load", `"load (n)"`: "load",
	} {
		if got := part[Columns](t, parsed(t, "look "+typed+", pins", newBench())).List[0].Column; got != want {
			t.Errorf("%s is read as %s, want %s", typed, got, want)
		}
	}
}

// part is a part that a command has to have.
func part[T any](t *testing.T, c *Command) T {
	t.Helper()
	got, ok := Part[T](c)
	if !ok {
		t.Fatalf("%s has no %T", c.Input, got)
	}
	return got
}

func TestSeriesDecidesWhoseColumns(t *testing.T) {
	k := newBench()
	c := parsed(t, "average load by dowels, from old-2024", k)
	if y := part[Response](t, c).Column.Column; y != "break_load" || c.Clauses().From.Text != "old-2024" {
		t.Errorf("the stand-in load is %s from %v", y, c.Clauses().From)
	}
	c = parsed(t, "adjusted dowels of oldfit", k)
	if part[ColumnRef](t, c).Column != "dowels" || part[Name](t, c) != (Name{"oldfit", 20}) {
		t.Errorf("it is read as %+v", c.Do)
	}
	c = parsed(t, "predict OLDFIT given größe 12 mm", k)
	if part[Name](t, c) != (Name{"oldfit", 9}) {
		t.Errorf("it is read as %+v", c.Do)
	}
}

func TestResultLeftOutIsTheLatestThatFits(t *testing.T) {
	for _, line := range []string{"anova", "anova sequential", "adjusted pins", "compare pins against pair", "predict given pins pair", "draw residuals"} {
		if got := part[Name](t, parsed(t, line, newBench())); got != (Name{Text: "fit2"}) {
			t.Errorf("%s takes %v", line, got)
		}
	}
	c := parsed(t, "draw load against density", newBench())
	if _, there := Part[Name](c); there {
		t.Error("a line of a fit is drawn that was not asked for")
	}
}

func TestOptionsAndClausesInAnyOrder(t *testing.T) {
	a := parsed(t, "fit load on density as x through zero for pins is pair confidence 90%", newBench())
	b := parsed(t, "fit load on density, confidence 90%, for pins is pair, through zero, as x", newBench())
	for _, c := range []*Command{a, b} {
		if !c.Do.(*Fit).ThroughZero || c.Clauses().As.Text != "x" || c.Clauses().For == nil || c.Clauses().Confidence.Value != 0.9 {
			t.Errorf("%s: %+v", c.Input, c)
		}
	}
}

func TestDeletingAnEntryDeletesTheCommand(t *testing.T) {
	for i, e := range Table {
		l, err := Compile(slices.Delete(slices.Clone(Table), i, i+1))
		if err != nil {
			t.Fatal(err)
		}
		if c, err := l.Parse(Piece{Text: e.Example, At: 1}, exampleSeries{}); err == nil {
			t.Errorf("%s is still read, as %s", e.Example, c.Entry.Name)
		}
		if slices.ContainsFunc(l.Describe(nil), func(d Description) bool { return d.Name == e.Name }) {
			t.Errorf("it is still described: %s", e.Name)
		}
	}
}

func TestEveryExampleIsTheCommandItExplains(t *testing.T) {
	for _, e := range Table {
		if c := parsed(t, e.Example, exampleSeries{}); c.Entry.Name != e.Name {
			t.Errorf("%s is read as %s, not %s", e.Example, c.Entry.Name, e.Name)
		}
	}
}

func TestCompileNamesWhatIsWrong(t *testing.T) {
	for _, phrase := range []string{"", "{y:response}", "a [b", "a b]", "a {y}", "a {y:nonsense}", "a {y:number"} {
		if _, err := Compile([]Entry{{Name: "odd", Do: SketchAgainst{}, Phrase: phrase}}); err == nil {
			t.Errorf("%q is taken for a phrase", phrase)
		}
	}
}
