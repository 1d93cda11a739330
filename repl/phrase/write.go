package phrase

import (
	"reflect"
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// String writes the command so that it reads back as the same: its phrase with what its
// struct holds, then its options and clauses in the order of the table. It is the only
// writer of the language.
func (c *Command) String() string {
	l := Standard()
	for i := range l.commands {
		if own := &l.commands[i]; own.Entry.Name == c.Entry.Name && own.holds(c.Do) {
			return own.write(c.Do)
		}
	}
	return Line(c.Do)
}

// Line writes a command given by a pointer to its struct: the line that would give it.
func Line(do any) string {
	if c := CommandOf(do); c != nil {
		return c.Input
	}
	return ""
}

// CommandOf is a command given by a pointer to its struct, as if its line had been typed.
func CommandOf(do any) *Command {
	l := Standard()
	for i := range l.commands {
		if c := &l.commands[i]; c.holds(do) {
			return &Command{Entry: c.Entry, Input: c.write(do), Do: do}
		}
	}
	return nil
}

// holds reports whether a struct is the entry's, its Subject of the same variant.
func (c *Compiled) holds(do any) bool {
	v := reflect.ValueOf(do)
	if v.Kind() != reflect.Pointer || v.Elem().Type() != c.model.Type() {
		return false
	}
	for i := range v.Elem().NumField() {
		f, model := v.Elem().Field(i), c.model.Field(i)
		if model.Kind() == reflect.Interface && !model.IsNil() &&
			(f.IsNil() || f.Elem().Type() != model.Elem().Type()) {
			return false
		}
	}
	return true
}

// write is the line of a command.
func (c *Compiled) write(do any) string {
	w := &lineWriter{Compiled: c, do: do}
	w.nodes(c.Nodes)
	for _, t := range c.Tails {
		if w.has(t) {
			w.nodes(t.Nodes)
		}
	}
	return w.line.String()
}

// lineWriter writes one command.
type lineWriter struct {
	*Compiled
	do   any
	line strings.Builder
}

func (w *lineWriter) put(text string) {
	if w.line.Len() > 0 {
		w.line.WriteByte(' ')
	}
	w.line.WriteString(text)
}

func (w *lineWriter) nodes(nodes []pattern.Node) {
	for _, n := range nodes {
		switch n.Kind {
		case pattern.Word:
			w.put(n.Words[0])
		case pattern.Comma:
			w.line.WriteByte(',')
		case pattern.Slotted:
			if held, ok := w.Held(w.do, n.Slot.Name); ok {
				w.put(w.slot(n.Slot, held))
			}
		case pattern.Optional:
			if slices.ContainsFunc(pattern.AllSlots(n.Inner), w.filled) {
				w.nodes(n.Inner)
			}
		}
	}
}

// filled reports whether a slot that may be left out is there: a result has a name.
func (w *lineWriter) filled(s pattern.Slot) bool {
	held, ok := w.Held(w.do, s.Name)
	if name, isName := held.(Name); isName {
		return name.Text != ""
	}
	return ok
}

// has reports whether an option or a clause is there.
func (w *lineWriter) has(t Tail) bool {
	own, _ := pattern.Slots(t.Nodes)
	name := t.Option
	if len(own) == 1 {
		name = own[0].Name
	}
	_, ok := w.Held(w.do, name)
	return ok
}

// slot writes what a slot holds.
func (w *lineWriter) slot(s pattern.Slot, held any) string {
	sp := w.spelling
	switch n := held.(type) {
	case Text:
		switch s.Kind {
		case "quoted":
			return scan.Quoted(n.Text)
		case "rest":
			return sp.rest(n.Text)
		}
		return sp.name(n.Text)
	case Amount:
		return SpelledAmount(n)
	case Is:
		if s.Kind == "mode" {
			return sp.mode(n)
		}
	case Texts:
		return joined(n.List, sp.name)
	case Files:
		return strings.Join(lists.Mapped(n.Paths, sp.file), " ")
	case File:
		return sp.file(n)
	case Name:
		return sp.own(n.Text)
	case NameList:
		return joined(n.List, func(n Name) string { return sp.own(n.Text) })
	case Choice:
		return n.Word
	case Count:
		return spelledNumber(float64(n.Value))
	case Extent:
		if n.First == 1 {
			return spelledNumber(float64(n.Last))
		}
		return spelledNumber(float64(n.First)) + " to " + spelledNumber(float64(n.Last))
	case UnitRef:
		return UnitTyped(n.Unit)
	}
	if e, ok := held.(Expression); ok {
		return e.String()
	}
	if c, ok := held.(Condition); ok {
		return sp.condition(c, 0)
	}
	return sp.columns(held)
}

func joined[A any](list []A, f func(A) string) string {
	return strings.Join(lists.Mapped(list, f), ", ")
}
