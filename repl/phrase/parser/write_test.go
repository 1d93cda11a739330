package parser

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
)

// oddNames are hard to write: they hold marks, are words of the language or numbers, or
// look like something else.
var oddNames = []string{"load", "5\" box", `"`, `""quoted""`, "“best” of 3", "„low“", "by", "against", "of", "for",
	"missing",
	"not", "or", "and", "is", "ranked", "confidence", "each", "curved", "together", "if", "otherwise", "column", "ln",
	"shares", "curves", "all", "compare", "34", "44.5", "2nd", "größe", "a, b; c", "#1", "x (1)", "-3", "1/2\"", "50%",
	"don't",
	"_x", "two-part", "kgf", "x=y", " blank ", "a.b", "Pair", "pair", "to", "as", "specimen", "line"}

// odd makes up a session of such names.
func odd(t *rapid.T) bench {
	names := rapid.Permutation(oddNames).Draw(t, "names")
	columns := func() []phrase.KnownColumn {
		var out []phrase.KnownColumn
		for i, kind := range []string{"number", "number", "category", "category", "text"} {
			c := phrase.KnownColumn{Name: names[0], Label: names[0] + " label", Kind: kind}
			names = names[1:]
			switch {
			case kind == "number" && i == 0:
				c.Unit = "kgf"
			case kind == "category":
				c.Levels = rapid.Permutation(oddNames).Draw(t, "levels")[:4]
			}
			out = append(out, c)
		}
		return out
	}
	b := bench{current: names[0], names: slices.Clone(names[:3]), series: map[string][]phrase.KnownColumn{}}
	names = names[3:]
	for _, s := range b.names {
		b.series[s] = columns()
	}
	for _, e := range phrase.Table {
		if e.Result == "" ||
			slices.ContainsFunc(b.results, func(r phrase.KnownResult) bool { return r.Kind == e.Kind }) {
			continue
		}
		for i := range 2 {
			b.results = append(b.results, phrase.KnownResult{Name: e.Result + []string{"1", ` "a"`}[i], Kind: e.Kind,
				Series: b.current})
		}
	}
	return b
}

// filler fills the struct of an entry with what the session has.
type filler struct {
	t      *rapid.T
	k      bench
	series string
	do     any
	c      *phrase.Compiled
	ahead  map[string]phrase.ColumnRef
}

func pickOf[A any](f *filler, from []A) A { return rapid.SampledFrom(from).Draw(f.t, "pick") }
func (f *filler) flip() bool              { return rapid.Bool().Draw(f.t, "flip") }
func (f *filler) odd() string             { return pickOf(f, oddNames) }

func severalOf[A any](f *filler, least int, one func() A) []A {
	out := make([]A, rapid.IntRange(least, 3).Draw(f.t, "several"))
	for i := range out {
		out[i] = one()
	}
	return out
}

// filled makes up a session and a command on it.
func filled(t *rapid.T, l *phrase.Language) (bench, *phrase.Command) {
	k := odd(t)
	c := &l.Commands()[rapid.IntRange(0, len(l.Commands())-1).Draw(t, "command")]
	f := &filler{t: t, k: k, series: k.current, c: c, do: c.Fresh(), ahead: map[string]phrase.ColumnRef{}}
	var chosen []phrase.Tail
	for _, tl := range c.Tails {
		if f.flip() {
			continue
		}
		chosen = append(chosen, tl)
		if tl.Option == "" && tl.Clause == phrase.From {
			f.series = pickOf(f, k.names)
		}
	}
	f.nodes(c.Nodes)
	for _, tl := range chosen {
		if own, _ := pattern.Slots(tl.Nodes); len(own) == 0 {
			c.Set(f.do, tl.Option, true)
		}
		f.nodes(tl.Nodes)
	}
	return k, &phrase.Command{Entry: c.Entry, Do: f.do}
}

func (f *filler) nodes(nodes []pattern.Node) {
	for _, n := range nodes {
		switch {
		case n.Kind == pattern.Slotted:
			f.c.Set(f.do, n.Slot.Name, f.slot(n.Slot))
		case n.Kind == pattern.Optional:
			if _, _, isResult := resultSlot(n.Inner, ""); isResult || f.flip() {
				f.nodes(n.Inner)
			}
		}
	}
}

func (f *filler) known(kind string) phrase.KnownColumn {
	var fit []phrase.KnownColumn
	for _, c := range f.k.series[f.series] {
		if kind == "" || c.Kind == kind || kind == "term" && c.Kind != "text" {
			fit = append(fit, c)
		}
	}
	return pickOf(f, fit)
}

func (f *filler) column(kind string) phrase.ColumnRef {
	return phrase.ColumnRef{Column: f.known(kind).Name}
}

func (f *filler) amount(c phrase.KnownColumn) phrase.Amount {
	a := phrase.Amount{Value: pickOf(f, []float64{0, 3, -0.5, 1e-9, 1234567.25, 1e21})}
	if c.Unit != "" && f.flip() {
		a.Unit = pickOf(f, []string{"kgf", "N"})
	}
	return a
}

func (f *filler) value(c phrase.KnownColumn) phrase.Value {
	switch c.Kind {
	case "number":
		a := f.amount(c)
		return phrase.Value{Amount: &a}
	case "category":
		return phrase.Value{Text: pickOf(f, c.Levels)}
	}
	return phrase.Value{Text: f.odd()}
}

func (f *filler) condition(depth int) phrase.Condition {
	switch kind := rapid.IntRange(0, 6).Draw(f.t, "condition"); {
	case kind == 0 && depth > 0:
		return phrase.And{Left: f.condition(depth - 1), Right: f.condition(depth - 1)}
	case kind == 1 && depth > 0:
		return phrase.Or{Left: f.condition(depth - 1), Right: f.condition(depth - 1)}
	case kind == 2 && depth > 0:
		return phrase.Not{Inner: f.condition(depth - 1)}
	case kind == 3:
		c := f.known("number")
		return phrase.Inequality{Column: phrase.ColumnRef{Column: c.Name}, Op: pickOf(f, comparisons),
			Value: f.amount(c)}
	case kind == 4:
		return phrase.Missing{Column: f.column(""), Negate: f.flip()}
	}
	c := f.known("")
	return phrase.Is{Column: phrase.ColumnRef{Column: c.Name}, Negate: f.flip(), Values: severalOf(f, 1,
		func() phrase.Value { return f.value(c) })}
}

func (f *filler) expression(depth int) phrase.Expression {
	switch kind := rapid.IntRange(0, 6).Draw(f.t, "expression"); {
	case kind == 0 && depth > 0:
		return phrase.Arithmetic{Op: pickOf(f, []string{"+", "-", "*", "/", "^"}), Left: f.expression(depth - 1),
			Right: f.expression(depth - 1)}
	case kind == 1 && depth > 0:
		return phrase.Choose{If: f.condition(1), Then: f.expression(depth - 1), Otherwise: f.expression(depth - 1)}
	case kind == 2 && depth > 0:
		return phrase.FunctionOf{Function: pickOf(f, oneValue), Arguments: []phrase.Expression{f.expression(depth - 1)}}
	case kind == 3:
		return phrase.Words{Text: f.odd()}
	case kind == 4:
		return phrase.Constant{Value: phrase.Amount{Value: pickOf(f, []float64{0, 3, 0.25, 1e21}),
			Unit: pickOf(f, []string{"", "N/mm2", "kgf"})}}
	}
	return phrase.ColumnValue{Column: f.column("")}
}

func (f *filler) factor() phrase.Factor {
	if f.flip() {
		return phrase.Factor{Column: f.column("number"), Function: pickOf(f, ofColumns),
			Power: pickOf(f, []float64{1, 3, -0.5})}
	}
	return phrase.Factor{Column: f.column("term"), Power: 1}
}

func (f *filler) term() phrase.Term {
	if f.flip() {
		return phrase.Term{Together: true, Factors: severalOf(f, 2, f.factor)}
	}
	if f.flip() {
		return phrase.Term{Curved: true, Factors: []phrase.Factor{{Column: f.column("number"), Power: 1}}}
	}
	if f.flip() {
		return phrase.Term{Factors: []phrase.Factor{{Column: f.column("number"),
			Function: pickOf(f, []string{phrase.Step, phrase.Kink}), Power: 1}}}
	}
	return phrase.Term{Factors: []phrase.Factor{f.factor()}}
}

// ofSlot is the column of another slot, chosen now where it comes later.
func (f *filler) ofSlot(s pattern.Slot) phrase.KnownColumn {
	if _, chosen := f.ahead[s.Args[0]]; !chosen {
		f.ahead[s.Args[0]] = f.column("category")
	}
	return f.k.column(f.series, f.ahead[s.Args[0]].Column)
}

// someLevels are levels of a column, each once.
func (f *filler) someLevels(c phrase.KnownColumn) []phrase.LevelRef {
	var out []phrase.LevelRef
	levels := rapid.Permutation(c.Levels).Draw(f.t, "levels")
	for _, l := range levels[:rapid.IntRange(1, len(levels)).Draw(f.t, "some")] {
		out = append(out, phrase.LevelRef{Column: c.Name, Level: l})
	}
	return out
}

func (f *filler) result(s pattern.Slot) phrase.Name {
	var fit []phrase.KnownResult
	for _, r := range f.k.results {
		if len(s.Args) == 0 || slices.Contains(s.Args, r.Kind) {
			fit = append(fit, r)
		}
	}
	return phrase.Name{Text: pickOf(f, fit).Name}
}

// slot makes up what a slot holds.
func (f *filler) slot(s pattern.Slot) any {
	text := func() string { return f.odd() }
	switch s.Kind {
	case "number", "category", "column":
		ref, chosen := f.ahead[s.Name]
		if !chosen {
			ref = f.column(map[string]string{"number": "number", "category": "category"}[s.Kind])
			f.ahead[s.Name] = ref
		}
		return ref
	case "response":
		return phrase.Response{Column: f.column("number"), Function: pickOf(f, append([]string{""}, ofColumns...))}
	case "columns":
		return phrase.Columns{List: severalOf(f, 1, func() phrase.ColumnRef { return f.column("") })}
	case "stack":
		return phrase.Stack{List: severalOf(f, 1, func() phrase.Columns {
			return phrase.Columns{List: severalOf(f, 1, func() phrase.ColumnRef { return f.column("") })}
		})}
	case "terms":
		return phrase.Terms{List: severalOf(f, 1, f.term)}
	case "level", "levels":
		c := f.ofSlot(s)
		one := func() phrase.LevelRef { return phrase.LevelRef{Column: c.Name, Level: pickOf(f, c.Levels)} }
		if s.Kind == "level" {
			return one()
		}
		return phrase.Levels{List: severalOf(f, 1, one)}
	case "perlevel":
		c := f.ofSlot(s)
		if f.flip() {
			return phrase.PerLevel{All: &phrase.Count{Value: 8}}
		}
		var out phrase.PerLevel
		for _, l := range f.someLevels(c) {
			out.List = append(out.List, phrase.LevelCount{N: phrase.Count{Value: 12}, Level: l})
		}
		return out
	case "prices":
		out := phrase.Prices{Unit: pickOf(f, []string{"", "min", "euro"})}
		for _, l := range f.someLevels(f.ofSlot(s)) {
			out.List = append(out.List, phrase.LevelPrice{Price: 2.5, Level: l})
		}
		return out
	case "costunit":
		return phrase.Text{Text: "min"}
	case "blocks":
		return phrase.Blocks{List: severalOf(f, 1, func() phrase.BlockRef {
			b := phrase.BlockRef{Column: f.column("")}
			if f.flip() {
				b.Within = []phrase.ColumnRef{f.column("")}
			}
			return b
		})}
	case "condition":
		return f.condition(3)
	case "mode":
		c := f.known("category")
		return phrase.Is{Column: phrase.ColumnRef{Column: c.Name}, Values: severalOf(f, 1,
			func() phrase.Value { return f.value(c) })}
	case "given":
		return phrase.Given{List: severalOf(f, 1, func() phrase.GivenItem {
			c := f.known("")
			return phrase.GivenItem{Column: phrase.ColumnRef{Column: c.Name}, Values: severalOf(f, 1,
				func() phrase.Value { return f.value(c) })}
		})}
	case "expression":
		return f.expression(3)
	case "which":
		if f.flip() {
			return phrase.Which{Condition: f.condition(2)}
		}
		if f.flip() {
			return phrase.Which{Rows: severalOf(f, 1, func() phrase.Count {
				return phrase.Count{Value: rapid.IntRange(1,
					99).Draw(f.t, "row")}
			})}
		}
		return phrase.Which{Specimens: severalOf(f, 1, func() phrase.Text { return phrase.Text{Text: text()} })}
	case "specimen":
		if f.flip() {
			return phrase.SpecimenRef{Row: rapid.IntRange(1, 99).Draw(f.t, "row")}
		}
		return phrase.SpecimenRef{Text: "x" + text()}
	case "cell":
		c := f.ofSlot(s)
		switch {
		case f.flip():
			return phrase.Cell{Missing: true}
		case c.Kind == "number":
			return phrase.Cell{Amount: &phrase.Amount{Value: 4.5}}
		}
		return phrase.Cell{Text: text()}
	case "result":
		return f.result(s)
	case "results":
		return phrase.NameList{List: severalOf(f, 1, func() phrase.Name { return f.result(s) })}
	case "series":
		if s.Name == "from" {
			return phrase.Name{Text: f.series}
		}
		name := phrase.Name{Text: pickOf(f, f.k.names)}
		if slices.Contains(s.Args, "own") {
			f.series = name.Text
		}
		return name
	case "manyseries":
		list := severalOf(f, 2, func() phrase.Name { return phrase.Name{Text: pickOf(f, f.k.names)} })
		if !slices.Contains(s.Args, "past") {
			f.series = list[0].Text
		}
		return phrase.NameList{List: list}
	case "name":
		return phrase.Name{Text: pickOf(f, []string{"x", "by", "Strong_2", "ö", `b "1"`, "a b"})}
	case "newcolumn":
		return phrase.Text{Text: pickOf(f, []string{"x", "by", "Peak stress", "ö_2", `sum (a, "b")`})}
	case "words", "sheet", "quoted", "rest":
		return phrase.Text{Text: text()}
	case "texts", "headers":
		return phrase.Texts{List: severalOf(f, 1, text)}
	case "file":
		return phrase.File{Path: text()}
	case "files":
		return phrase.Files{Paths: severalOf(f, 1, func() phrase.File { return phrase.File{Path: text()} })}
	case "amount":
		return pickOf(f, []phrase.Amount{{Value: 3}, {Value: .07, Percent: true}, {Value: 1e-7, Unit: "N/mm2"},
			{Value: -2, Unit: "kgf"}})
	case "amounts":
		return phrase.Amounts{List: []phrase.Amount{{Value: 3}, {Value: 4.5}}}
	case "percent":
		return phrase.Amount{Value: rapid.Float64Range(0.01, 99.99).Draw(f.t, "percent") / 100, Percent: true}
	case "count":
		return phrase.Count{Value: rapid.IntRange(0, 1<<40).Draw(f.t, "count")}
	case "extent":
		first := rapid.IntRange(1, 9).Draw(f.t, "first")
		return phrase.Extent{First: first, Last: first + rapid.IntRange(0, 9).Draw(f.t, "more")}
	case "unit":
		return phrase.UnitRef{Unit: pickOf(f, []string{"kgf", "kg/m3", "percent", "degC", "N/(cm·m)"})}
	case "choice":
		return phrase.Choice{Word: pickOf(f, s.Args)}
	}
	f.t.Fatalf("the generator does not know the slot type %q", s.Kind)
	return nil
}

// TestACommandWritesItselfBack fills structs at random, with names that are hard to write,
// and reads what they write.
func TestACommandWritesItselfBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, want := filled(t, phrase.Standard())
		line := want.String()
		pieces, more, err := phrase.Split(line)
		if err != nil || more || len(pieces) != 1 || pieces[0].Text != line {
			t.Fatalf("%s\n splits into %+v %v %v", line, pieces, more, err)
		}
		got, err := Parse(pieces[0], k)
		if err != nil {
			t.Fatalf("%s\n%+v\n%+v", line, err, want.Do)
		}
		if got.Entry.Name != want.Entry.Name || !reflect.DeepEqual(stripped(got.Do), stripped(want.Do)) {
			t.Fatalf("%s\n got %s %+v\nwant %s %+v", line, got.Entry.Name, got.Do, want.Entry.Name, want.Do)
		}
	})
}

// TestWritingIsStable writes what random lines were read as, and reads that again.
func TestWritingIsStable(t *testing.T) {
	k := newBench()
	rapid.Check(t, func(t *rapid.T) {
		line, _ := generate(t, phrase.Standard(), k)
		first, err := Parse(phrase.Piece{Text: line, At: 1}, k)
		if err != nil {
			t.Fatal(err)
		}
		written := first.String()
		second, err := Parse(phrase.Piece{Text: written, At: 1}, k)
		if err != nil {
			t.Fatalf("%s\n%s\n%+v", line, written, err)
		}
		if !reflect.DeepEqual(stripped(first.Do), stripped(second.Do)) || second.String() != written {
			t.Fatalf("%s\n%s\n%s", line, written, second.String())
		}
	})
}

func TestLineFindsTheEntryByItsStruct(t *testing.T) {
	for _, e := range phrase.Table {
		c := parsed(t, e.Example, exampleSeries{})
		if got := phrase.Line(c.Do); got != c.String() && e.Name != "heading" && e.Name != "conclude" {
			t.Errorf("%s: %s and %s", e.Example, got, c.String())
		}
	}
}
