package phrase

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// writer makes a random line from a compiled phrase, and beside it the tree that the
// line stands for; it knows the notation and nothing of the parser.
type writer struct {
	t      *rapid.T
	k      bench
	series string
	line   []rune
	c      *Command
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

func generate(t *rapid.T, l *Language, k bench) (string, *Command) {
	c := &l.commands[rapid.IntRange(0, len(l.commands)-1).Draw(t, "command")]
	w := &writer{t: t, k: k, series: k.current,
		c: &Command{Entry: c.entry, At: 1, Slots: map[string]Node{}, Options: map[string]bool{}}}
	var tails []tail
	for _, i := range rapid.Permutation(indices(len(c.tails))).Draw(t, "order") {
		if w.count(0, 3) == 0 {
			tails = append(tails, c.tails[i])
			if c.tails[i].option == "" && c.tails[i].clause == From {
				w.series = w.pick(k.names...)
			}
		}
	}
	if s, _, ok := resultSlot(c.nodes, ""); ok {
		if w.c.Slots[s.name] = (Name{Text: "fit2"}); w.flip() {
			w.series = "old-2024"
		}
	}
	w.nodes(c.nodes, func(s slot, n Node) { w.c.Slots[s.name] = n })
	for _, tl := range tails {
		if w.flip() {
			w.glue(",")
		}
		if tl.option != "" {
			w.c.Options[tl.option] = true
			w.nodes(tl.nodes, func(s slot, n Node) { w.c.Slots[s.name] = n })
			continue
		}
		w.nodes(tl.nodes, func(_ slot, n Node) { w.clause(tl.clause, n) })
	}
	w.c.Input = string(w.line)
	return w.c.Input, w.c
}

func (w *writer) clause(k Clause, n Node) {
	c := &w.c.Clauses
	switch k {
	case For:
		c.For = n.(Condition)
	case From:
		c.From = new(n.(Name))
	case As:
		c.As = new(n.(Name))
	case To:
		c.To = new(n.(File))
	case Each:
		c.Each = new(n.(ColumnRef))
	case Confidence:
		c.Confidence = new(n.(Amount))
	case Worth:
		c.Worth = new(n.(Amount))
	}
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func (w *writer) nodes(nodes []node, set func(slot, Node)) {
	for _, n := range nodes {
		switch n.kind {
		case wordNode:
			w.word(w.pick(n.words...))
		case commaNode:
			w.glue(",")
		case slotNode:
			set(n.slot, w.slot(n.slot))
		case optionalNode:
			_, _, isResult := resultSlot(n.inner, "")
			if isResult && w.series == "old-2024" || w.flip() { // the other series' fit has to be named
				w.nodes(n.inner, set)
			}
		}
	}
}

func (w *writer) columns(kind string) []KnownColumn {
	var out []KnownColumn
	for _, c := range w.k.series[w.series] {
		if kind == "" || c.Kind == kind || kind == "term" && c.Kind != "text" {
			out = append(out, c)
		}
	}
	return out
}

// column writes a column in one of the ways it may be typed.
func (w *writer) column(kind string) (KnownColumn, ColumnRef) {
	c := rapid.SampledFrom(w.columns(kind)).Draw(w.t, "column")
	forms := []string{c.Name, w.cased(c.Name), strings.ReplaceAll(c.Name, "_", " "), inQuotes(c.Name), inQuotes(w.cased(c.Label)), c.Label}
	if c.Name == "break_load" {
		forms = append(forms, "load")
	}
	return c, ColumnRef{c.Name, w.put(w.pick(forms...))}
}

// level writes a level of a column.
func (w *writer) level(c KnownColumn) (string, int) {
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

func (w *writer) amount(c KnownColumn) Amount {
	text := w.pick("3", "−0.5", ".25", "1e3", "1200")
	x := parseFloat(strings.Replace(text, "−", "-", 1))
	out := Amount{Value: x, At: w.put(text)}
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

func (w *writer) value(c KnownColumn) Value {
	switch c.Kind {
	case "number":
		x := w.amount(c)
		return Value{Amount: &x, At: x.At}
	case "category":
		l, at := w.level(c)
		return Value{Text: l, At: at}
	}
	text := w.pick("b1", "007-a", "2x4", "ö")
	return Value{Text: text, At: w.put(text)}
}

func (w *writer) condition(depth int) Condition {
	at := len(w.line) + 1
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
			return Or{left, right, at}
		}
		return And{left, right, at}
	case 2:
		at = w.word("not")
		w.put("(")
		inner := w.condition(depth - 1)
		w.glue(")")
		return Not{inner, at}
	}
	return w.test()
}

func (w *writer) test() Condition {
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
		return Missing{ref, negate, ref.At}
	case form == 1 && c.Kind == "number":
		op := w.pick("<", "<=", ">", ">=")
		w.put(op)
		return Compare{ref, op, w.amount(c), ref.At}
	case form == 2:
		out := Is{Column: ref, Negate: negate, At: ref.At}
		if is(); w.flip() && !negate {
			w.word("other")
			w.word("than")
			out.Negate = true
		}
		out.Values = []Value{w.value(c)}
		return out
	case form == 3:
		w.put("=")
		return Is{ref, []Value{w.value(c)}, false, ref.At}
	}
	out := Is{Column: ref, Negate: negate, At: ref.At}
	if negate {
		is()
	}
	w.word("among")
	w.list(1, func() { out.Values = append(out.Values, w.value(c)) })
	return out
}

func (w *writer) factor() (Factor, KnownColumn) {
	out := Factor{Power: 1}
	var c KnownColumn
	if w.flip() {
		out.Function = w.pick(functions...)
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

func (w *writer) term() Term {
	if w.count(0, 3) == 0 {
		out := Term{Together: true, At: w.word("together")}
		w.glue("(")
		w.list(2, func() {
			f, _ := w.factor()
			out.Factors = append(out.Factors, f)
		})
		w.glue(")")
		return out
	}
	f, c := w.factor()
	out := Term{Factors: []Factor{f}, At: f.At}
	if c.Kind == "number" && w.flip() {
		w.word("curved")
		out.Curved = true
	}
	return out
}

// slot writes what a slot holds.
func (w *writer) slot(s slot) Node {
	switch s.kind {
	case "response":
		if w.flip() {
			_, ref := w.column("number")
			return Response{Column: ref, At: ref.At}
		}
		out := Response{Function: w.pick(functions...)}
		out.At = w.word(out.Function)
		w.glue("(")
		_, out.Column = w.column("number")
		w.glue(")")
		return out
	case "number", "category":
		_, ref := w.column(s.kind)
		return ref
	case "column":
		_, ref := w.column("")
		return ref
	case "condition":
		return w.condition(2)
	case "result":
		name := map[string]string{"gates": "fit1", "old-2024": "oldfit"}[w.series]
		return Name{name, w.word(name)}
	case "series":
		if s.name == "clause" {
			return Name{w.series, w.word(w.series)}
		}
		name := w.pick(w.k.names...)
		return Name{name, w.word(name)}
	case "name":
		name := w.pick("x", "Strong_2", "ö")
		return Name{name, w.put(name)}
	case "file":
		path := w.pick("a.csv", "~/ö/b-1.png", "my file.csv")
		return File{path, w.put(spelledPath(path))}
	case "choice":
		choice := w.pick(s.args...)
		return Choice{choice, w.word(choice)}
	}
	return w.listSlot(s)
}

func spelledPath(path string) string {
	if strings.Contains(path, " ") {
		return inQuotes(path)
	}
	return path
}

// listSlot writes a list, a number or a text. At is that of the first item.
func (w *writer) listSlot(s slot) Node {
	start := len(w.line)
	out := w.bareListSlot(s)
	for start < len(w.line) && (w.line[start] == ' ' || w.line[start] == '\t') {
		start++
	}
	return placed(out, start+1)
}

func placed(n Node, at int) Node {
	v := reflect.New(reflect.TypeOf(n)).Elem()
	v.Set(reflect.ValueOf(n))
	v.FieldByName("At").SetInt(int64(at))
	return v.Interface().(Node)
}

func (w *writer) bareListSlot(s slot) Node {
	switch s.kind {
	case "columns":
		var out Columns
		w.list(1, func() {
			_, ref := w.column("")
			out.List = append(out.List, ref)
		})
		return out
	case "terms":
		var out Terms
		w.list(1, func() { out.List = append(out.List, w.term()) })
		return out
	case "level", "levels":
		ref := w.c.Slots[s.args[0]].(ColumnRef)
		c := w.k.column(w.series, ref.Column)
		var out Levels
		one := func() {
			l, at := w.level(c)
			out.List = append(out.List, LevelRef{c.Name, l, at})
		}
		if s.kind == "level" {
			one()
			return out.List[0]
		}
		w.list(1, one)
		return out
	case "given":
		var out Given
		w.list(1, func() {
			c, ref := w.column("")
			item := GivenItem{Column: ref, At: ref.At, Values: []Value{w.value(c)}}
			if w.flip() {
				w.word("or")
				item.Values = append(item.Values, w.value(c))
			}
			out.List = append(out.List, item)
		})
		return out
	case "extent":
		w.put("5")
		if w.flip() {
			return Extent{First: 1, Last: 5}
		}
		w.word("to")
		w.put("12")
		return Extent{First: 5, Last: 12}
	case "texts":
		var out Texts
		w.list(1, func() {
			text := w.pick("n/a", "-99", "x y")
			w.put(spelledPath(text))
			out.List = append(out.List, text)
		})
		return out
	case "unit":
		return UnitRef{Unit: w.unit()}
	}
	return w.plainSlot(s)
}

func (w *writer) unit() string {
	u := w.pick("kgf", "kg/m3", "percent")
	w.put(map[string]string{"kgf": "kp", "kg/m3": "kg/m³", "percent": "%"}[u])
	return u
}

func (w *writer) plainSlot(s slot) Node {
	switch s.kind {
	case "amount":
		return w.amount(KnownColumn{})
	case "percent":
		w.put("90")
		w.glue(w.pick("%", " %"))
		return Amount{Value: .9, Percent: true}
	case "count":
		w.put("7")
		return Count{Value: 7}
	case "rest":
		text := w.pick("The pins, cut by hand: 1/2\" thick", "ö (for now)")
		w.put(text)
		return Text{Text: text}
	case "quoted":
		w.put(`"a ""b"", for c"`)
		return Text{Text: `a "b", for c`}
	}
	w.t.Fatalf("the generator does not know the slot type %q", s.kind)
	return nil
}

func TestRandomLinesParseBackToTheSameTree(t *testing.T) {
	k := newBench()
	rapid.Check(t, func(t *rapid.T) {
		line, want := generate(t, Standard(), k)
		pieces, more, err := Split(line)
		if err != nil || more || len(pieces) != 1 || pieces[0] != (Piece{line, 1}) {
			t.Fatalf("%q splits into %+v %v %v", line, pieces, more, err)
		}
		got, err := Parse(pieces[0], k)
		if err != nil {
			t.Fatalf("%q: %+v", line, err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%q\n got %s %+v %+v\nwant %s %+v %+v", line, got.Entry.Name, got.Slots, got.Clauses, want.Entry.Name, want.Slots, want.Clauses)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, e := range Table {
		f.Add(e.Example)
	}
	f.Add(`compare load by glue against "größe; a, b", for (load > 3 kN or not pins among pair, none) worth 10 %`)
	k := newBench()
	f.Fuzz(func(t *testing.T, line string) {
		pieces, _, err := Split(line)
		for _, p := range pieces {
			c, perr := Parse(p, k)
			checkParsed(t, p, c, perr)
			Complete(line, len(p.Text), k, nil)
		}
		if err != nil && len(pieces) > 0 {
			t.Errorf("%q: pieces beside an error", line)
		}
	})
}

// checkParsed holds every answer of Parse to what it promises about places.
func checkParsed(t *testing.T, p Piece, c *Command, err error) {
	n := len([]rune(p.Text))
	if e, ok := err.(*Error); ok {
		if e.At < 1 || e.At > n+1 || e.Message == "" || e.Code == "" {
			t.Errorf("%q: %+v", p.Text, e)
		}
		return
	}
	if err != nil || c == nil {
		t.Fatalf("%q: %v, %v", p.Text, c, err)
	}
	for name, node := range c.Slots {
		if at := node.Place(); at < 0 || at > n {
			t.Errorf("%q: %s stands at %d", p.Text, name, at)
		}
	}
}

func FuzzCondition(f *testing.F) {
	for _, s := range []string{"pins is none", "not (load > 3 N and glue is hide hot) or board is missing", "thickness among 34 mm, 4.4 cm", "((((", "not not not"} {
		f.Add(s)
	}
	k := newBench()
	f.Fuzz(func(t *testing.T, s string) {
		p := Piece{Text: "rows for " + s, At: 1}
		c, err := Parse(p, k)
		checkParsed(t, p, c, err)
		if err == nil && c.Clauses.For == nil && !strings.HasPrefix(strings.TrimSpace(s), "from") {
			t.Errorf("%q: no condition", s)
		}
	})
}
