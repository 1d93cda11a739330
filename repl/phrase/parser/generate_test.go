package parser

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// writer makes a random line from a compiled phrase, and beside it the tree that the
// line stands for; it knows the notation and nothing of the parser.
type writer struct {
	t      *rapid.T
	k      bench
	series string
	line   []rune
	c      *phrase.Command
	cmd    *phrase.Compiled
	ahead  map[string]phrase.KnownColumn // columns of slots still to come
}

func (w *writer) pick(from ...string) string { return rapid.SampledFrom(from).Draw(w.t, "pick") }
func (w *writer) flip() bool                 { return rapid.Bool().Draw(w.t, "flip") }
func (w *writer) count(least, most int) int  { return rapid.IntRange(least, most).Draw(w.t, "count") }

// put writes text after a blank and says where it starts.
func (w *writer) put(text string) int {
	if len(w.line) > 0 && w.line[len(w.line)-1] != '(' {
		w.line = append(w.line, []rune(w.pick(" ", " ", "  ", "\t"))...)
	}
	at := len(w.line) + 1
	w.line = append(w.line, []rune(text)...)
	return at
}

// glue writes text with nothing before it.
func (w *writer) glue(text string) { w.line = append(w.line, []rune(text)...) }

func (w *writer) word(s string) int { return w.put(w.cased(s)) }

func (w *writer) cased(s string) string {
	if rapid.IntRange(0, 4).Draw(w.t, "case") == 0 {
		return strings.ToUpper(s)
	}
	return s
}

func generate(t *rapid.T, l *phrase.Language, k bench) (string, *phrase.Command) {
	c := &l.Commands()[rapid.IntRange(0, len(l.Commands())-1).Draw(t, "command")]
	w := &writer{t: t, k: k, series: k.current, ahead: map[string]phrase.KnownColumn{},
		c: &phrase.Command{Entry: c.Entry, At: 1, Do: c.Fresh()}, cmd: c}
	set := func(s pattern.Slot, n any) {
		c.Set(w.c.Do, s.Name, n)
	}
	var tails []phrase.Tail
	for _, i := range rapid.Permutation(indices(len(c.Tails))).Draw(t, "order") {
		if w.count(0, 3) == 0 {
			tails = append(tails, c.Tails[i])
			if c.Tails[i].Option == "" && c.Tails[i].Clause == phrase.From {
				w.series = w.pick(k.names...)
			}
		}
	}
	if s, _, ok := resultSlot(c.Nodes, ""); ok {
		if set(s, phrase.Name{Text: kindOf(s) + "2"}); w.flip() {
			w.series = "old-2024"
		}
	}
	w.nodes(c.Nodes, set)
	for _, tl := range tails {
		if w.flip() {
			w.glue(",")
		}
		if tl.Option != "" {
			if own, _ := pattern.Slots(tl.Nodes); len(own) == 0 {
				c.Set(w.c.Do, tl.Option, true)
			}
			w.nodes(tl.Nodes, set)
			continue
		}
		w.nodes(tl.Nodes, func(s pattern.Slot, n any) {
			c.Set(w.c.Do, s.Name, n)
		})
	}
	w.c.Input = string(w.line)
	return w.c.Input, w.c
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// kindOf is the kind of result a slot takes; where any will do, a fit.
func kindOf(s pattern.Slot) string {
	if len(s.Args) > 0 {
		return s.Args[0]
	}
	return "fit"
}

func (w *writer) nodes(nodes []pattern.Node, set func(pattern.Slot, any)) {
	for _, n := range nodes {
		switch n.Kind {
		case pattern.Word:
			w.word(w.pick(n.Words...))
		case pattern.Comma:
			w.glue(",")
		case pattern.Slotted:
			set(n.Slot, w.slot(n.Slot))
		case pattern.Optional:
			_, _, isResult := resultSlot(n.Inner, "")
			if isResult && w.series == "old-2024" || w.flip() { // the other series' fit has to be named
				w.nodes(n.Inner, set)
			}
		}
	}
}

func (w *writer) columns(kind string) []phrase.KnownColumn {
	var out []phrase.KnownColumn
	for _, c := range w.k.series[w.series] {
		if kind == "" || c.Kind == kind || kind == "term" && c.Kind != "text" {
			out = append(out, c)
		}
	}
	return out
}

// column writes a column in one of the ways it may be typed.
func (w *writer) column(kind string) (phrase.KnownColumn, phrase.ColumnRef) {
	return w.thisColumn(rapid.SampledFrom(w.columns(kind)).Draw(w.t, "column"))
}

func (w *writer) thisColumn(c phrase.KnownColumn) (phrase.KnownColumn, phrase.ColumnRef) {
	forms := []string{c.Name, w.cased(c.Name), strings.ReplaceAll(c.Name, "_", " "), inQuotes(c.Name),
		inQuotes(w.cased(c.Label)), c.Label}
	if c.Name == "break_load" {
		forms = append(forms, "load")
	}
	return c, phrase.ColumnRef{Column: c.Name, At: w.put(w.pick(forms...))}
}

// level writes a level of a column.
func (w *writer) level(c phrase.KnownColumn) (string, int) {
	l := w.pick(c.Levels...)
	forms := []string{inQuotes(strings.ReplaceAll(l, `"`, `""`))}
	if !strings.ContainsAny(l, `";,`) && l != "missing" {
		forms = append(forms, l, w.cased(l))
	}
	if c.Name == "thickness" {
		forms = append(forms, l+" mm", l+".0mm", l[:1]+"."+l[1:]+" cm")
	}
	return l, w.put(w.pick(forms...))
}

func (w *writer) amount(c phrase.KnownColumn) phrase.Amount {
	text := w.pick("3", "−0.5", ".25", "1e3", "1200")
	x := scan.Float(strings.Replace(text, "−", "-", 1))
	out := phrase.Amount{Value: x, At: w.put(text)}
	unit := c.Unit
	if c.Name == "" {
		unit = w.pick("N", "%")
	}
	switch {
	case unit == "" || w.flip():
	case unit == "%":
		w.glue("%")
		out.Value, out.Percent = x/100, true
	case unit == "percent":
		w.glue(" %")
		out.Unit = "percent"
	default:
		w.glue(w.pick("", " ") + unit)
		out.Unit = unit
	}
	return out
}

func (w *writer) list(least int, item func()) {
	for i, n := 0, w.count(least, 3); i < n; i++ {
		if i > 0 {
			w.glue(",")
		}
		item()
	}
}

func (w *writer) value(c phrase.KnownColumn) phrase.Value {
	switch c.Kind {
	case "number":
		x := w.amount(c)
		return phrase.Value{Amount: &x, At: x.At}
	case "category":
		l, at := w.level(c)
		return phrase.Value{Text: l, At: at}
	}
	text := w.pick("b1", "007-a", "2x4", "ö")
	return phrase.Value{Text: text, At: w.put(text)}
}

func (w *writer) condition(depth int) phrase.Condition {
	var at int
	kind := w.count(0, 6)
	if depth == 0 {
		kind = w.count(3, 6)
	}
	switch kind {
	case 0, 1:
		at = w.put("(")
		left := w.condition(depth - 1)
		w.glue(")")
		join := w.pick("and", "or")
		w.word(join)
		right := w.test()
		if join == "or" {
			return phrase.Or{Left: left, Right: right, At: at}
		}
		return phrase.And{Left: left, Right: right, At: at}
	case 2:
		at = w.word("not")
		w.put("(")
		inner := w.condition(depth - 1)
		w.glue(")")
		return phrase.Not{Inner: inner, At: at}
	}
	return w.test()
}

func (w *writer) test() phrase.Condition {
	c, ref := w.column("")
	negate := w.flip()
	is := func() {
		w.word("is")
		if negate {
			w.word("not")
		}
	}
	switch form := w.count(0, 4); {
	case form == 0:
		is()
		w.word("missing")
		return phrase.Missing{Column: ref, Negate: negate, At: ref.At}
	case form == 1 && c.Kind == "number":
		op := w.pick("<", "<=", ">", ">=")
		w.put(op)
		return phrase.Inequality{Column: ref, Op: op, Value: w.amount(c), At: ref.At}
	case form == 2:
		out := phrase.Is{Column: ref, Negate: negate, At: ref.At}
		if is(); w.flip() && !negate {
			w.word("other")
			w.word("than")
			out.Negate = true
		}
		out.Values = []phrase.Value{w.value(c)}
		return out
	case form == 3:
		w.put("=")
		return phrase.Is{Column: ref, Values: []phrase.Value{w.value(c)}, Negate: false, At: ref.At}
	}
	out := phrase.Is{Column: ref, Negate: negate, At: ref.At}
	if negate {
		is()
	}
	w.word("among")
	w.list(1, func() { out.Values = append(out.Values, w.value(c)) })
	return out
}

func (w *writer) factor() (phrase.Factor, phrase.KnownColumn) {
	out := phrase.Factor{Power: 1}
	var c phrase.KnownColumn
	if w.flip() {
		out.Function = w.pick(ofColumns...)
		out.At = w.word(out.Function)
		w.glue("(")
		c, out.Column = w.column("number")
		w.glue(")")
	} else {
		c, out.Column = w.column("term")
		out.At = out.Column.At
	}
	if c.Kind == "number" && w.count(0, 3) == 0 {
		w.put("^")
		w.put("3")
		out.Power = 3
	}
	return out, c
}

func (w *writer) term() phrase.Term {
	if w.count(0, 3) == 0 {
		out := phrase.Term{Together: true, At: w.word("together")}
		w.glue("(")
		w.list(2, func() {
			f, _ := w.factor()
			out.Factors = append(out.Factors, f)
		})
		w.glue(")")
		return out
	}
	if w.count(0, 3) == 0 {
		f := phrase.Factor{Function: w.pick(phrase.Step, phrase.Kink), Power: 1}
		f.At = w.word(f.Function)
		w.glue("(")
		_, f.Column = w.column("number")
		w.glue(")")
		return phrase.Term{Factors: []phrase.Factor{f}, At: f.At}
	}
	f, c := w.factor()
	out := phrase.Term{Factors: []phrase.Factor{f}, At: f.At}
	if c.Kind == "number" && w.flip() {
		w.word("curved")
		out.Curved = true
	}
	return out
}

// slot writes what a slot holds.
func (w *writer) slot(s pattern.Slot) any {
	switch s.Kind {
	case "response":
		if w.flip() {
			_, ref := w.column("number")
			return phrase.Response{Column: ref, At: ref.At}
		}
		out := phrase.Response{Function: w.pick(ofColumns...)}
		out.At = w.word(out.Function)
		w.glue("(")
		_, out.Column = w.column("number")
		w.glue(")")
		return out
	case "number", "category":
		if c, chosen := w.ahead[s.Name]; chosen {
			_, ref := w.thisColumn(c)
			return ref
		}
		_, ref := w.column(s.Kind)
		return ref
	case "column":
		_, ref := w.column("")
		return ref
	case "condition":
		return w.condition(2)
	case "result":
		name := map[string]string{"gates": kindOf(s) + "1", "old-2024": "old" + kindOf(s)}[w.series]
		return phrase.Name{Text: name, At: w.word(name)}
	case "series":
		if s.Name == "from" {
			return phrase.Name{Text: w.series, At: w.word(w.series)}
		}
		name := w.pick(w.k.names...)
		if slices.Contains(s.Args, "own") {
			w.series = name
		}
		return phrase.Name{Text: name, At: w.word(name)}
	case "expression":
		return w.expression(3, choiceRank)
	case "name":
		name := w.pick("x", "Strong_2", "ö")
		return phrase.Name{Text: name, At: w.put(name)}
	case "file":
		path := w.pick("a.csv", "~/ö/b-1.png", "my file.csv")
		return w.file(s, path)
	case "choice":
		choice := w.pick(s.Args...)
		return phrase.Choice{Word: choice, At: w.word(choice)}
	}
	return w.listSlot(s)
}

func (w *writer) file(s pattern.Slot, path string) phrase.File {
	f := phrase.File{Path: path, At: w.put(spelledPath(path))}
	end := f.At + len([]rune(spelledPath(path)))
	w.c.Files = append(w.c.Files, phrase.FileUse{Path: path, At: f.At, End: end, Written: slices.Contains(s.Args,
		"written")})
	return f
}

func spelledPath(path string) string {
	if strings.Contains(path, " ") {
		return inQuotes(path)
	}
	return path
}

func TestRandomLinesParseBackToTheSameTree(t *testing.T) {
	k := newBench()
	rapid.Check(t, func(t *rapid.T) {
		line, want := generate(t, phrase.Standard(), k)
		pieces, more, err := phrase.Split(line)
		if err != nil || more || len(pieces) != 1 || pieces[0] != (phrase.Piece{Text: line, At: 1}) {
			t.Fatalf("%q splits into %+v %v %v", line, pieces, more, err)
		}
		got, err := Parse(pieces[0], k)
		if err != nil {
			t.Fatalf("%q: %+v", line, err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%q\n got %s %+v\nwant %s %+v", line, got.Entry.Name, got.Do, want.Entry.Name, want.Do)
		}
	})
}
