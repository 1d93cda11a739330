package phrase

import "reflect"

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
