package parser

import (
	"strings"
	"testing"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
)

// What is changed in a copy leaves the first command as it was.
func TestACopyHasAStructOfItsOwn(t *testing.T) {
	c := parsed(t, "compare load by pins against none for pins is not pair as first", newBench())
	before := c.String()
	other := c.Copy()
	other.Clauses().As, other.Clauses().For = nil, nil
	do, ok := other.Do.(*phrase.Compare)
	if !ok {
		t.Fatalf("it is read as %T", other.Do)
	}
	do.Subject, do.Against = phrase.LevelsOfFit{A: phrase.ColumnRef{Column: "glue"}, Fit: phrase.Name{Text: "fit1"}},
		nil
	if got := c.String(); got != before {
		t.Errorf("the first is now %s, it was %s", got, before)
	}
	if got := other.String(); got != "compare glue of fit1" {
		t.Errorf("the copy is %s", got)
	}
}

func TestPartsAndFacets(t *testing.T) {
	k := newBench()
	for line, want := range map[string][]string{
		"average load by pins, glue": {"pins", "glue"},
		"compare load with 3 N":      nil, "compare load with 3 N by glue": {"glue"},
		"compare pins of fit1": {"pins"}, "plan load by pins, glue detecting 10%": {"pins", "glue"},
	} {
		c := parsed(t, line, k)
		grouped, ok := phrase.Facet[phrase.Grouped](c)
		if !ok {
			t.Errorf("%s sets no levels side by side", line)
			continue
		}
		got := lists.Mapped(grouped.Categories(), func(r phrase.ColumnRef) string { return r.Column })
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s: %v, want %v", line, got, want)
		}
		for _, name := range want {
			if at := c.PlaceOf(name); at < 1 || !strings.HasPrefix(line[at-1:], name) {
				t.Errorf("%s: %s is placed at %d", line, name, at)
			}
		}
	}
	if _, ok := phrase.Facet[phrase.OnFit](parsed(t, "fit load on pins", k)); ok {
		t.Error("a fit of its own asks an earlier one")
	}
	if f, ok := phrase.Facet[phrase.OnFit](parsed(t, "anova of fit1", k)); !ok || f.Earlier().Text != "fit1" {
		t.Error("an anova of a fit does not name it")
	}
	if _, ok := phrase.Part[phrase.File](parsed(t, "draw load by pins to x.png", k)); ok {
		t.Error("a clause is taken for a part of the command")
	}
}

// A picture word stands for the picture, and the quoted column for the column.
func TestAQuotedColumnWinsOverAPictureWord(t *testing.T) {
	k := newBench()
	k.series["gates"] = append(k.series["gates"], phrase.KnownColumn{Name: "curves", Label: "Curves", Kind: "number"})
	if _, ok := parsed(t, "draw curves by pins", k).Do.(*phrase.DrawCurves); !ok {
		t.Error("the word is taken for the column")
	}
	c := parsed(t, `draw "curves" by pins`, k)
	if _, ok := c.Do.(*phrase.DrawBy); !ok || c.String() != `draw "curves" by pins` {
		t.Errorf("%s is %T", c, c.Do)
	}
}

// A column called "not" can be asked about beside the word that turns a condition round.
func TestNotIsAWordAndAColumn(t *testing.T) {
	k := newBench()
	k.series["gates"] = append(k.series["gates"], phrase.KnownColumn{Name: "not", Label: "Not", Kind: "number"})
	for _, line := range []string{`rows for not ("not" > 3)`, "rows for not > 3", "rows for not (load > 3)",
		"rows for not not > 3"} {
		parsed(t, line, k)
	}
}

// A column whose name is words of a phrase does not keep that phrase from being read.
func TestANameThatReadsLikeAPhrase(t *testing.T) {
	k := newBench()
	k.series["gates"] = append(k.series["gates"], phrase.KnownColumn{Name: "load_by_pins", Label: "Load by pins",
		Kind: "number"})
	for line, want := range map[string]string{
		"average load by pins": "average load by pins", "average load by pins by glue": "average load_by_pins by glue",
		"look load by pins": "look load_by_pins", "compare load by pins against none": "compare load by pins " +
			"against none",
	} {
		c := parsed(t, line, k)
		if got := c.String(); got != want {
			t.Errorf("%s is read as %s, not %s", line, got, want)
		}
		if again := parsed(t, c.String(), k); again.String() != want {
			t.Errorf("%s reads back as %s", c, again)
		}
	}
}
