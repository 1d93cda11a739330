package phrase

import (
	"reflect"
	"slices"

	"breakbook/repl/phrase/scan"
)

// Renamed is the command as it reads once a column has another name: in its parts and
// in its text, with every place where it is then. label is what else the column was
// called, its header. The command itself stays as it is.
func (c *Command) Renamed(column, label, name string) *Command {
	var places []int
	EachPart(reflect.ValueOf(c.Do), func(ref ColumnRef) {
		if ref.Column == column && ref.At > 0 && !slices.Contains(places, ref.At) {
			places = append(places, ref.At)
		}
	})
	slices.Sort(places)
	in := []rune(c.Input)
	var out []rune
	var edits []edit
	last := 0
	for _, at := range places {
		end := nameEnd(in, at-1, column, label)
		if end <= at-1 || at-1 < last {
			continue
		}
		typed := []rune(Typed(name))
		out = append(append(out, in[last:at-1]...), typed...)
		edits = append(edits, edit{at, len(typed) - (end - (at - 1))})
		last = end
	}
	r := renaming{column: column, name: name, edits: edits}
	n := *c
	n.Input = string(append(out, in[last:]...))
	n.Do = r.of(reflect.ValueOf(c.Do)).Interface()
	return &n
}

// nameEnd is where the column's name ends that stands at the 0-based place of a line;
// the place itself where none does.
func nameEnd(in []rune, at int, names ...string) int {
	if at >= len(in) {
		return at
	}
	if scan.IsQuote(in[at]) {
		_, end, _ := scan.Unquote(in, at)
		return end
	}
	end := at
	for _, name := range names {
		if e := scan.Match(in, at, name); e > end && (e == len(in) || !scan.IsWord(in[e]) || !scan.IsWord(in[e-1])) {
			end = e
		}
	}
	if end > at {
		return end
	}
	word := at
	for word < len(in) && scan.IsWord(in[word]) {
		word++
	}
	for _, role := range roleWords {
		if scan.Same(string(in[at:word]), role) {
			return word
		}
	}
	return at
}

// edit is a piece of a line that became longer by so many characters: what stands
// behind its 1-based place has moved.
type edit struct{ at, longer int }

// renaming carries a new name and the places it moves through the parts of a command.
type renaming struct {
	column, name string
	edits        []edit
}

func (r renaming) place(at int) int {
	moved := at
	for _, e := range r.edits {
		if e.at < at {
			moved += e.longer
		}
	}
	return moved
}

// of is a copy of a part with the column renamed and its places moved.
func (r renaming) of(v reflect.Value) reflect.Value {
	switch v.Kind() {
	case reflect.Interface, reflect.Pointer, reflect.Map, reflect.Slice:
		if v.IsNil() {
			return v
		}
	}
	out := reflect.New(v.Type()).Elem()
	switch v.Kind() {
	case reflect.Interface:
		out.Set(r.of(v.Elem()))
	case reflect.Pointer:
		out.Set(reflect.New(v.Type().Elem()))
		out.Elem().Set(r.of(v.Elem()))
	case reflect.Map:
		out.Set(reflect.MakeMapWithSize(v.Type(), v.Len()))
		for _, key := range v.MapKeys() {
			out.SetMapIndex(key, r.of(v.MapIndex(key)))
		}
	case reflect.Slice:
		out.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		for i := range v.Len() {
			out.Index(i).Set(r.of(v.Index(i)))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			field := r.of(v.Field(i))
			switch v.Type().Field(i).Name {
			case "At":
				field = reflect.ValueOf(r.place(int(field.Int())))
			case "Column":
				if field.Kind() == reflect.String && field.String() == r.column {
					field = reflect.ValueOf(r.name)
				}
			}
			out.Field(i).Set(field)
		}
	default:
		out.Set(v)
	}
	return out
}

// EachPart shows every part of a type that a part of a command has: its columns, its names.
func EachPart[T any](v reflect.Value, show func(T)) {
	if v.Kind() == reflect.Struct {
		if part, ok := v.Interface().(T); ok {
			show(part)
			return
		}
	}
	switch v.Kind() {
	case reflect.Interface, reflect.Pointer:
		if !v.IsNil() {
			EachPart(v.Elem(), show)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			EachPart(v.MapIndex(key), show)
		}
	case reflect.Slice:
		for i := range v.Len() {
			EachPart(v.Index(i), show)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			EachPart(v.Field(i), show)
		}
	}
}

// Calling is the command's text with the series and results that it names called as given; what it gives a name to
// itself is not among them.
func (c *Command) Calling(called func(name string) string) string {
	var names []Name
	own := c.Clauses().As
	EachPart(reflect.ValueOf(c.Do), func(n Name) {
		if n.At > 0 && called(n.Text) != n.Text && (own == nil || n != *own) {
			names = append(names, n)
		}
	})
	slices.SortFunc(names, func(a, b Name) int { return b.At - a.At })
	in := []rune(c.Input)
	for _, n := range slices.Compact(names) {
		if end := nameEnd(in, n.At-1, n.Text); end >= n.At {
			in = slices.Replace(in, n.At-1, end, []rune(Typed(called(n.Text)))...)
		}
	}
	return string(in)
}
