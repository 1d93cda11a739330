package parser

import (
	"reflect"
	"slices"
	"strings"

	"pgregory.net/rapid"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
)

// listSlot writes a list, a number or a text. At is that of the first item.
func (w *writer) listSlot(s pattern.Slot) any {
	start := len(w.line)
	out := w.bareListSlot(s)
	for start < len(w.line) && (w.line[start] == ' ' || w.line[start] == '\t') {
		start++
	}
	return placed(out, start+1)
}

func placed(n any, at int) any {
	v := reflect.New(reflect.TypeOf(n)).Elem()
	v.Set(reflect.ValueOf(n))
	v.FieldByName("At").SetInt(int64(at))
	return v.Interface()
}

// levelsOnce writes items with commas between them, each about a level that no other is about.
func (w *writer) levelsOnce(c phrase.KnownColumn, item func(level func() phrase.LevelRef)) {
	levels := rapid.Permutation(c.Levels).Draw(w.t, "levels")
	for i := range w.count(1, min(3, len(levels))) {
		if i > 0 {
			w.glue(",")
		}
		one := c
		one.Levels = levels[i : i+1]
		item(func() phrase.LevelRef {
			l, at := w.level(one)
			return phrase.LevelRef{Column: c.Name, Level: l, At: at}
		})
	}
}

func (w *writer) bareListSlot(s pattern.Slot) any {
	switch s.Kind {
	case "columns":
		var out phrase.Columns
		w.list(1, func() {
			_, ref := w.column("")
			out.List = append(out.List, ref)
		})
		return out
	case "stack":
		var out phrase.Stack
		for i, n := 0, w.count(1, 3); i < n; i++ {
			if i > 0 {
				w.word("below")
			}
			out.List = append(out.List, w.listSlot(pattern.Slot{Kind: "columns"}).(phrase.Columns))
		}
		return out
	case "terms":
		var out phrase.Terms
		w.list(1, func() { out.List = append(out.List, w.term()) })
		return out
	case "level", "levels":
		c := w.columnOf(s)
		var out phrase.Levels
		one := func() {
			l, at := w.level(c)
			out.List = append(out.List, phrase.LevelRef{Column: c.Name, Level: l, At: at})
		}
		if s.Kind == "level" {
			one()
			return out.List[0]
		}
		w.list(1, one)
		return out
	case "perlevel":
		out := phrase.PerLevel{At: len(w.line) + 1}
		c := w.columnOf(s)
		if w.flip() {
			out.All = &phrase.Count{Value: 8, At: w.put("8")}
			return out
		}
		w.levelsOnce(c, func(level func() phrase.LevelRef) {
			n := phrase.Count{Value: 12, At: w.put("12")}
			out.List = append(out.List, phrase.LevelCount{N: n, Level: level()})
		})
		return out
	case "prices":
		out := phrase.Prices{Unit: w.pick("", "min", "euro")}
		c := w.columnOf(s)
		w.levelsOnce(c, func(level func() phrase.LevelRef) {
			one := phrase.LevelPrice{Price: 2.5, At: w.put("2.5")}
			if out.Unit != "" {
				w.put(map[string]string{"min": w.pick("min", "minutes"), "euro": "Euro"}[out.Unit])
			}
			one.Level = level()
			out.List = append(out.List, one)
		})
		return out
	case "costunit":
		w.put(w.pick("minute", "min", "minutes"))
		return phrase.Text{Text: "min"}
	case "blocks":
		var out phrase.Blocks
		w.list(1, func() {
			_, ref := w.column("")
			b := phrase.BlockRef{Column: ref, At: ref.At}
			if w.flip() {
				w.word("within")
				_, ref := w.column("")
				b.Within = append(b.Within, ref)
			}
			out.List = append(out.List, b)
		})
		return out
	case "mode":
		c, ref := w.column("category")
		out := phrase.Is{Column: ref}
		one := func() { out.Values = append(out.Values, w.value(c)) }
		if w.flip() {
			w.word("is")
			one()
			return out
		}
		w.word("among")
		w.list(1, one)
		return out
	case "given":
		var out phrase.Given
		w.list(1, func() {
			c, ref := w.column("")
			item := phrase.GivenItem{Column: ref, At: ref.At, Values: []phrase.Value{w.value(c)}}
			if w.flip() {
				w.word("or")
				item.Values = append(item.Values, w.value(c))
			}
			out.List = append(out.List, item)
		})
		return out
	case "results":
		out := phrase.NameList{}
		w.list(1, func() {
			name := map[string]string{"gates": "fit1", "old-2024": "oldfit"}[w.series]
			out.List = append(out.List, phrase.Name{Text: name, At: w.word(name)})
		})
		return out
	case "amounts":
		c := w.columnOf(s)
		var out phrase.Amounts
		w.list(1, func() { out.List = append(out.List, w.amount(c)) })
		return out
	case "specimen":
		if w.flip() {
			w.word("row")
			w.put("12")
			return phrase.SpecimenRef{Row: 12}
		}
		text := w.pick("7", "G-12", "t9.b", "a, b")
		if strings.Contains(text, ",") {
			w.put(inQuotes(text))
		} else {
			w.put(text)
		}
		return phrase.SpecimenRef{Text: text}
	case "cell":
		c := w.columnOf(s)
		switch {
		case w.flip():
			w.word("missing")
			return phrase.Cell{Missing: true}
		case c.Kind == "number":
			a := w.amount(c)
			return phrase.Cell{Amount: &a}
		}
		text := w.pick("glue line", "7", "lap")
		w.put(inQuotes(text))
		return phrase.Cell{Text: text}
	case "which":
		if w.flip() {
			w.word("for")
			return phrase.Which{Condition: w.condition(2)}
		}
		if w.flip() {
			w.word("row")
			var out phrase.Which
			w.list(1, func() { out.Rows = append(out.Rows, phrase.Count{Value: 12, At: w.put("12")}) })
			return out
		}
		w.word(w.pick("specimen", "specimens"))
		var out phrase.Which
		w.list(1, func() {
			text := w.pick("7", "G-12", "t9.b", "a, b")
			written := text
			if strings.Contains(text, ",") {
				written = inQuotes(text)
			}
			out.Specimens = append(out.Specimens, phrase.Text{Text: text, At: w.put(written)})
		})
		return out
	case "manyseries":
		out := phrase.NameList{}
		w.list(2, func() {
			name := w.pick(w.k.names...)
			out.List = append(out.List, phrase.Name{Text: name, At: w.word(name)})
		})
		if !slices.Contains(s.Args, "past") {
			w.series = out.List[0].Text
		}
		return out
	case "extent":
		w.put("5")
		if w.flip() {
			return phrase.Extent{First: 1, Last: 5}
		}
		w.word("to")
		w.put("12")
		return phrase.Extent{First: 5, Last: 12}
	case "texts":
		var out phrase.Texts
		w.list(1, func() {
			text := w.pick("n/a", "-99", "x y")
			w.put(spelledPath(text))
			out.List = append(out.List, text)
		})
		return out
	case "headers":
		var out phrase.Texts
		w.list(1, func() {
			text := w.pick("density", "ring width", "width-2", "a, b", "x (1)")
			w.put(spelledPath(text))
			out.List = append(out.List, text)
		})
		return out
	case "unit":
		return phrase.UnitRef{Unit: w.unit()}
	}
	return w.plainSlot(s)
}

// columnOf is the column of a slot before, or one chosen for a slot to come.
func (w *writer) columnOf(s pattern.Slot) phrase.KnownColumn {
	held, _ := w.cmd.Held(w.c.Do, s.Args[0])
	if ref, ok := held.(phrase.ColumnRef); ok && ref.At > 0 {
		return w.k.column(w.series, ref.Column)
	}
	w.ahead[s.Args[0]] = rapid.SampledFrom(w.columns("category")).Draw(w.t, "column")
	return w.ahead[s.Args[0]]
}

func (w *writer) unit() string {
	u := w.pick("kgf", "kg/m3", "percent")
	w.put(map[string]string{"kgf": "kp", "kg/m3": "kg/m³", "percent": "%"}[u])
	return u
}

func (w *writer) plainSlot(s pattern.Slot) any {
	switch s.Kind {
	case "files":
		var out phrase.Files
		for range w.count(1, 3) {
			path := w.pick("a.csv", "~/ö/b-1.csv", "my file.csv")
			out.Paths = append(out.Paths, w.file(s, path))
		}
		return out
	case "amount":
		return w.amount(phrase.KnownColumn{})
	case "percent":
		w.put("90")
		w.glue(w.pick("%", " %"))
		return phrase.Amount{Value: .9, Percent: true}
	case "count":
		w.put("7")
		return phrase.Count{Value: 7}
	case "rest":
		text := w.pick("The pins, cut by hand: 1/2\" thick", "ö (for now)")
		w.put(text)
		return phrase.Text{Text: text}
	case "words", "sheet":
		text := w.pick("pinned", "2 mm", "a, b; c", "glued-2")
		w.put(spelledPath(text))
		return phrase.Text{Text: text}
	case "newcolumn":
		text := w.pick("x", "Peak stress", "ö_2", "sum (a, b)")
		if strings.Contains(text, "(") {
			w.put(inQuotes(text))
		} else {
			w.put(text)
		}
		return phrase.Text{Text: text}
	case "quoted":
		w.put(`"a ""b"", for c"`)
		return phrase.Text{Text: `a "b", for c`}
	}
	w.t.Fatalf("the generator does not know the slot type %q", s.Kind)
	return nil
}
