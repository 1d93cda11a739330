package phrase

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// oddNames are hard to write: they hold marks, are words of the language or numbers, or
// look like something else.
var oddNames = []string{"load", "5\" box", `"`, `""quoted""`, "“best” of 3", "„low“", "by", "against", "of", "for", "missing",
	"not", "or", "and", "is", "ranked", "confidence", "each", "curved", "together", "if", "otherwise", "column", "ln",
	"shares", "curves", "all", "compare", "34", "44.5", "2nd", "größe", "a, b; c", "#1", "x (1)", "-3", "1/2\"", "50%", "don't",
	"_x", "two-part", "kgf", "x=y", " blank ", "a.b", "Pair", "pair", "to", "as", "specimen", "line"}

// odd makes up a session of such names.
func odd(t *rapid.T) bench {
	names := rapid.Permutation(oddNames).Draw(t, "names")
	columns := func() []KnownColumn {
		var out []KnownColumn
		for i, kind := range []string{"number", "number", "category", "category", "text"} {
			c := KnownColumn{Name: names[0], Label: names[0] + " label", Kind: kind}
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
	b := bench{current: names[0], names: slices.Clone(names[:3]), series: map[string][]KnownColumn{}}
	names = names[3:]
	for _, s := range b.names {
		b.series[s] = columns()
	}
	for _, e := range Table {
		if e.Result == "" || slices.ContainsFunc(b.results, func(r KnownResult) bool { return r.Kind == e.Kind }) {
			continue
		}
		for i := range 2 {
			b.results = append(b.results, KnownResult{Name: e.Result + []string{"1", ` "a"`}[i], Kind: e.Kind, Series: b.current})
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
	c      *command
	ahead  map[string]ColumnRef
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
func filled(t *rapid.T, l *Language) (bench, *Command) {
	k := odd(t)
	c := &l.commands[rapid.IntRange(0, len(l.commands)-1).Draw(t, "command")]
	f := &filler{t: t, k: k, series: k.current, c: c, do: c.binding.fresh(), ahead: map[string]ColumnRef{}}
	var chosen []tail
	for _, tl := range c.tails {
		if f.flip() {
			continue
		}
		chosen = append(chosen, tl)
		if tl.option == "" && tl.clause == From {
			f.series = pickOf(f, k.names)
		}
	}
	f.nodes(c.nodes)
	for _, tl := range chosen {
		if own, _ := slotsOf(tl.nodes); len(own) == 0 {
			c.binding.set(f.do, tl.option, true)
		}
		f.nodes(tl.nodes)
	}
	return k, &Command{Entry: c.entry, Do: f.do}
}

func (f *filler) nodes(nodes []node) {
	for _, n := range nodes {
		switch {
		case n.kind == slotNode:
			f.c.binding.set(f.do, n.slot.name, f.slot(n.slot))
		case n.kind == optionalNode:
			if _, _, isResult := resultSlot(n.inner, ""); isResult || f.flip() {
				f.nodes(n.inner)
			}
		}
	}
}

func (f *filler) known(kind string) KnownColumn {
	var fit []KnownColumn
	for _, c := range f.k.series[f.series] {
		if kind == "" || c.Kind == kind || kind == "term" && c.Kind != "text" {
			fit = append(fit, c)
		}
	}
	return pickOf(f, fit)
}

func (f *filler) column(kind string) ColumnRef { return ColumnRef{Column: f.known(kind).Name} }

func (f *filler) amount(c KnownColumn) Amount {
	a := Amount{Value: pickOf(f, []float64{0, 3, -0.5, 1e-9, 1234567.25, 1e21})}
	if c.Unit != "" && f.flip() {
		a.Unit = pickOf(f, []string{"kgf", "N"})
	}
	return a
}

func (f *filler) value(c KnownColumn) Value {
	switch c.Kind {
	case "number":
		a := f.amount(c)
		return Value{Amount: &a}
	case "category":
		return Value{Text: pickOf(f, c.Levels)}
	}
	return Value{Text: f.odd()}
}

func (f *filler) condition(depth int) Condition {
	switch kind := rapid.IntRange(0, 6).Draw(f.t, "condition"); {
	case kind == 0 && depth > 0:
		return And{Left: f.condition(depth - 1), Right: f.condition(depth - 1)}
	case kind == 1 && depth > 0:
		return Or{Left: f.condition(depth - 1), Right: f.condition(depth - 1)}
	case kind == 2 && depth > 0:
		return Not{Inner: f.condition(depth - 1)}
	case kind == 3:
		c := f.known("number")
		return Inequality{Column: ColumnRef{Column: c.Name}, Op: pickOf(f, comparisons), Value: f.amount(c)}
	case kind == 4:
		return Missing{Column: f.column(""), Negate: f.flip()}
	}
	c := f.known("")
	return Is{Column: ColumnRef{Column: c.Name}, Negate: f.flip(), Values: severalOf(f, 1, func() Value { return f.value(c) })}
}

func (f *filler) expression(depth int) Expression {
	switch kind := rapid.IntRange(0, 6).Draw(f.t, "expression"); {
	case kind == 0 && depth > 0:
		return Arithmetic{Op: pickOf(f, []string{"+", "-", "*", "/", "^"}), Left: f.expression(depth - 1), Right: f.expression(depth - 1)}
	case kind == 1 && depth > 0:
		return Choose{If: f.condition(1), Then: f.expression(depth - 1), Otherwise: f.expression(depth - 1)}
	case kind == 2 && depth > 0:
		return FunctionOf{Function: pickOf(f, oneValue), Arguments: []Expression{f.expression(depth - 1)}}
	case kind == 3:
		return Words{Text: f.odd()}
	case kind == 4:
		return Constant{Value: Amount{Value: pickOf(f, []float64{0, 3, 0.25, 1e21}), Unit: pickOf(f, []string{"", "N/mm2", "kgf"})}}
	}
	return ColumnValue{Column: f.column("")}
}

func (f *filler) factor() Factor {
	if f.flip() {
		return Factor{Column: f.column("number"), Function: pickOf(f, ofColumns), Power: pickOf(f, []float64{1, 3, -0.5})}
	}
	return Factor{Column: f.column("term"), Power: 1}
}

func (f *filler) term() Term {
	if f.flip() {
		return Term{Together: true, Factors: severalOf(f, 2, f.factor)}
	}
	if f.flip() {
		return Term{Curved: true, Factors: []Factor{{Column: f.column("number"), Power: 1}}}
	}
	return Term{Factors: []Factor{f.factor()}}
}

// ofSlot is the column of another slot, chosen now where it comes later.
func (f *filler) ofSlot(s slot) KnownColumn {
	if _, chosen := f.ahead[s.args[0]]; !chosen {
		f.ahead[s.args[0]] = f.column("category")
	}
	return f.k.column(f.series, f.ahead[s.args[0]].Column)
}

func (f *filler) result(s slot) Name {
	var fit []KnownResult
	for _, r := range f.k.results {
		if len(s.args) == 0 || slices.Contains(s.args, r.Kind) {
			fit = append(fit, r)
		}
	}
	return Name{Text: pickOf(f, fit).Name}
}

// slot makes up what a slot holds.
func (f *filler) slot(s slot) any {
	text := func() string { return f.odd() }
	switch s.kind {
	case "number", "category", "column":
		ref, chosen := f.ahead[s.name]
		if !chosen {
			ref = f.column(map[string]string{"number": "number", "category": "category"}[s.kind])
			f.ahead[s.name] = ref
		}
		return ref
	case "response":
		return Response{Column: f.column("number"), Function: pickOf(f, append([]string{""}, ofColumns...))}
	case "columns":
		return Columns{List: severalOf(f, 1, func() ColumnRef { return f.column("") })}
	case "terms":
		return Terms{List: severalOf(f, 1, f.term)}
	case "level", "levels":
		c := f.ofSlot(s)
		one := func() LevelRef { return LevelRef{Column: c.Name, Level: pickOf(f, c.Levels)} }
		if s.kind == "level" {
			return one()
		}
		return Levels{List: severalOf(f, 1, one)}
	case "blocks":
		return Blocks{List: severalOf(f, 1, func() BlockRef {
			b := BlockRef{Column: f.column("")}
			if f.flip() {
				b.Within = []ColumnRef{f.column("")}
			}
			return b
		})}
	case "condition":
		return f.condition(3)
	case "mode":
		c := f.known("category")
		return Is{Column: ColumnRef{Column: c.Name}, Values: severalOf(f, 1, func() Value { return f.value(c) })}
	case "given":
		return Given{List: severalOf(f, 1, func() GivenItem {
			c := f.known("")
			return GivenItem{Column: ColumnRef{Column: c.Name}, Values: severalOf(f, 1, func() Value { return f.value(c) })}
		})}
	case "expression":
		return f.expression(3)
	case "which":
		if f.flip() {
			return Which{Condition: f.condition(2)}
		}
		return Which{Specimens: severalOf(f, 1, func() Text { return Text{Text: text()} })}
	case "result":
		return f.result(s)
	case "results":
		return NameList{List: severalOf(f, 1, func() Name { return f.result(s) })}
	case "series":
		if s.name == "from" {
			return Name{Text: f.series}
		}
		name := Name{Text: pickOf(f, f.k.names)}
		if slices.Contains(s.args, "own") {
			f.series = name.Text
		}
		return name
	case "manyseries":
		list := severalOf(f, 2, func() Name { return Name{Text: pickOf(f, f.k.names)} })
		f.series = list[0].Text
		return NameList{List: list}
	case "name":
		return Name{Text: pickOf(f, []string{"x", "by", "Strong_2", "ö", `b "1"`, "a b"})}
	case "newcolumn":
		return Text{Text: pickOf(f, []string{"x", "by", "Peak stress", "ö_2", `sum (a, "b")`})}
	case "words", "quoted", "rest":
		return Text{Text: text()}
	case "texts", "headers":
		return Texts{List: severalOf(f, 1, text)}
	case "file":
		return File{Path: text()}
	case "files":
		return Files{Paths: severalOf(f, 1, func() File { return File{Path: text()} })}
	case "amount":
		return pickOf(f, []Amount{{Value: 3}, {Value: .07, Percent: true}, {Value: 1e-7, Unit: "N/mm2"}, {Value: -2, Unit: "kgf"}})
	case "amounts":
		return Amounts{List: []Amount{{Value: 3}, {Value: 4.5}}}
	case "percent":
		return Amount{Value: rapid.Float64Range(0.01, 99.99).Draw(f.t, "percent") / 100, Percent: true}
	case "count":
		return Count{Value: rapid.IntRange(0, 1<<40).Draw(f.t, "count")}
	case "extent":
		first := rapid.IntRange(1, 9).Draw(f.t, "first")
		return Extent{First: first, Last: first + rapid.IntRange(0, 9).Draw(f.t, "more")}
	case "unit":
		return UnitRef{Unit: pickOf(f, []string{"kgf", "kg/m3", "percent", "degC", "N/(cm·m)"})}
	case "choice":
		return Choice{Word: pickOf(f, s.args)}
	}
	f.t.Fatalf("the generator does not know the slot type %q", s.kind)
	return nil
}

// TestACommandWritesItselfBack fills structs at random, with names that are hard to write,
// and reads what they write.
func TestACommandWritesItselfBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, want := filled(t, Standard())
		line := want.String()
		pieces, more, err := Split(line)
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
		line, _ := generate(t, Standard(), k)
		first, err := Parse(Piece{Text: line, At: 1}, k)
		if err != nil {
			t.Fatal(err)
		}
		written := first.String()
		second, err := Parse(Piece{Text: written, At: 1}, k)
		if err != nil {
			t.Fatalf("%s\n%s\n%+v", line, written, err)
		}
		if !reflect.DeepEqual(stripped(first.Do), stripped(second.Do)) || second.String() != written {
			t.Fatalf("%s\n%s\n%s", line, written, second.String())
		}
	})
}

func TestLineFindsTheEntryByItsStruct(t *testing.T) {
	for _, e := range Table {
		c := parsed(t, e.Example, exampleSeries{})
		if got := Line(c.Do); got != c.String() && e.Name != "heading" {
			t.Errorf("%s: %s and %s", e.Example, got, c.String())
		}
	}
}
