package parser

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"breakbook/repl/phrase"
)

// A command with a column renamed is the command that its new text reads as, where the
// column is called so; the old one stays as it was.
func TestRenamedReadsAsItsText(t *testing.T) {
	l, k := phrase.Standard(), newBench()
	rapid.Check(t, func(t *rapid.T) {
		line, _ := generate(t, l, k)
		c, err := ParseIn(l, phrase.Piece{Text: line, At: 1}, k)
		if err != nil {
			t.Skip()
		}
		var names []phrase.KnownColumn
		phrase.EachPart(reflect.ValueOf(c.Do), func(ref phrase.ColumnRef) {
			for _, series := range k.series {
				for _, col := range series {
					if col.Name == ref.Column {
						names = append(names, col)
					}
				}
			}
		})
		if len(names) == 0 || strings.Contains(line, "=") { // work out keeps no result
			t.Skip()
		}
		column := rapid.SampledFrom(names).Draw(t, "renamed")
		now := c.Renamed(column.Name, column.Label, "pegs_of_oak")
		if c.Input != line {
			t.Fatalf("%q was changed in place", line)
		}
		other := newBench()
		for name, series := range other.series {
			other.series[name] = append([]phrase.KnownColumn{}, series...)
			for i := range series {
				if series[i].Name == column.Name {
					other.series[name][i].Name, other.series[name][i].Label = "pegs_of_oak", "pegs of oak"
				}
			}
		}
		for role, name := range other.roles {
			if name == column.Name {
				other.roles[role] = "pegs_of_oak"
			}
		}
		want, err := ParseIn(l, phrase.Piece{Text: now.Input, At: 1}, other)
		if err != nil {
			t.Fatalf("%q became %q: %v", line, now.Input, err)
		}
		if !reflect.DeepEqual(now.Do, want.Do) {
			t.Fatalf("%q became %q, which reads as\n%+v\nnot\n%+v", line, now.Input, want, now)
		}
	})
}

// A command whose results are called otherwise is the command that its new text reads as, where they are called so.
func TestCalledOtherwiseReadsAsItsText(t *testing.T) {
	l, k := phrase.Standard(), newBench()
	rapid.Check(t, func(t *rapid.T) {
		c, met := (*phrase.Command)(nil), false
		for range 300 {
			line, _ := generate(t, l, k)
			var err error
			if c, err = ParseIn(l, phrase.Piece{Text: line, At: 1}, k); err == nil {
				phrase.EachPart(reflect.ValueOf(c.Do), func(n phrase.Name) { met = met || n.At > 0 && n != as(c) })
			}
			if met {
				break
			}
		}
		if !met {
			t.Skip()
		}
		line := c.Input
		called := func(name string) string {
			if !slices.ContainsFunc(k.results, func(r phrase.KnownResult) bool { return r.Name == name }) {
				return name
			}
			return "their " + name
		}
		other := newBench()
		for i, r := range k.results {
			other.results[i].Name = called(r.Name)
		}
		text := c.Calling(called)
		now, err := ParseIn(l, phrase.Piece{Text: text, At: 1}, other)
		if err != nil {
			t.Fatalf("%q became %q: %v", line, text, err)
		}
		names := func(c *phrase.Command, called func(string) string) (out []string) {
			phrase.EachPart(reflect.ValueOf(c.Do), func(n phrase.Name) {
				if n != as(c) {
					out = append(out, called(n.Text))
				}
			})
			return out
		}
		was, is := names(c, called), names(now, func(name string) string { return name })
		if !slices.Equal(was, is) || as(c).Text != as(now).Text {
			t.Fatalf("%q became %q, which names %q, not %q", line, text, is, was)
		}
	})
}

// as is the name that a command gives.
func as(c *phrase.Command) phrase.Name {
	if own := c.Clauses().As; own != nil {
		return *own
	}
	return phrase.Name{}
}
