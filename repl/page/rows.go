package page

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"
)

// Names fills in what a row type leaves open: `{y}` in a tag stands for Names["y"], the
// unit of a response or the name of a column that is known only when the table is made.
type Names map[string]string

// Filled makes a table of rows of one struct type. Its exported fields are the columns, in their
// order, told by their tags:
//
//	id:"mean"          the key of the JSON contract; `id:"{a}"` is filled in from names
//	unit:"{y}"         the unit of the whole column
//	label:"…"          what a person reads where it is not the id with blanks
//	difference:"yes"   a difference of what has that unit, or an sd: of percents, percentage points
//	style:"fraction"   count, fraction, percent, p, exact, df, ratio; left out: a plain quantity
//	apart:"yes"        exact numbers of different kinds, each with its own digits
//	wide:"yes"         left out of a narrow terminal first
//	blank:"yes"        an empty text stays a text, and is no missing cell
//
// A field is a string (empty: no cell), a float64 (NaN or infinite: no cell), an int, a bool, a Quantity where rows
// have units of their own, a Cell where one column holds words and numbers, or a Many, which stands for as many columns
// as it has ids. An embedded struct's fields stand in its place; those of an embedded pointer only where the first row
// has it. The row type is checked once; a tag that means nothing is a slip in the program and panics.
func Filled[R any](t Table, rows []R, names Names) Table {
	shape := shapeOf(reflect.TypeFor[R]())
	var first reflect.Value
	if len(rows) > 0 {
		first = reflect.ValueOf(rows[0])
	}
	t.Columns = shape.columns(names, first)
	all := reflect.ValueOf(rows)
	t.Rows = slices.Grow(t.Rows, len(rows))
	for i := range rows {
		t.Rows = append(t.Rows, shape.cells(all.Index(i)))
	}
	return t
}

// Many is several columns or values of one kind, known only when they are made: one a level.
type Many struct {
	IDs    []string
	Labels []string // what a person reads, where it is not the ids; empty: the tag's
	Cells  []Cell

	Columns []Column // instead of IDs and Labels, where each has a unit and a style of its own
}

// Add puts one more to them.
func (m *Many) Add(id, label string, c Cell) {
	m.IDs, m.Labels, m.Cells = append(m.IDs, id), append(m.Labels, label), append(m.Cells, c)
}

// Quantity is a number in a unit that is not always its column's.
type Quantity struct {
	Value float64
	Unit  string  // empty: the column's
	Step  float64 // the finest step that an exact number supports; 0: all its digits
}

// ValuesOf is the fields of a struct as values of an entry, told by the same tags as Filled;
// those of an embedded pointer only where it is set. The tags group and short say on which line
// of the screen a value is, and what it is called there.
func ValuesOf[V any](v V, names Names) []Value {
	shape := shapeOf(reflect.TypeFor[V]())
	columns := shape.columns(names, reflect.ValueOf(v))
	cells := shape.cells(reflect.ValueOf(v))
	out := make([]Value, len(columns))
	for i, c := range columns {
		out[i] = Value{ID: c.ID, Label: c.Label, Cell: cells[i], Unit: c.Unit, Style: c.Style}
		if f := slices.IndexFunc(shape, func(f shaped) bool { return f.group != "" && f.ID == c.ID }); f >= 0 {
			out[i].Group, out[i].Short = shape[f].group, shape[f].short
		}
	}
	return out
}

// Field is one column of a row type as its tags tell it, names not filled in.
type Field struct {
	Column
	Type  FieldType
	Maybe bool // not in every table of the kind
}

// FieldType is what the cells of a column hold in JSON.
type FieldType uint8

const (
	NumberField FieldType = iota
	TextField
	TruthField
	AnyField  // words or numbers
	ManyField // as many columns as there are levels
)

// Fields are the columns of a row type, for what is made from the contract: the JSON Schema and the lists of keys.
func Fields(row reflect.Type) []Field {
	s := shapeOf(row)
	out := make([]Field, len(s))
	for i, f := range s {
		out[i] = f.Field
	}
	return out
}

// shape is the columns of a row type with the place of their fields.
type shape []shaped

type shaped struct {
	Field
	index []int
	blank bool // an empty text stays a text

	difference bool // its unit is that of differences

	group, short string // of a value: the line it is on, and what it is called there
}

var (
	shapes    sync.Map // reflect.Type → shape
	cellType  = reflect.TypeFor[Cell]()
	manyType  = reflect.TypeFor[Many]()
	ownType   = reflect.TypeFor[Quantity]()
	styleTags = map[string]Style{"": Plain, "count": Count, "fraction": Fraction, "percent": Percent, "p": P,
		"exact": Exact, "df": DF, "ratio": Ratio, "quotient": Quotient}
)

func shapeOf(row reflect.Type) shape {
	if known, ok := shapes.Load(row); ok {
		return known.(shape)
	}
	var s shape
	for _, f := range reflect.VisibleFields(row) {
		if f.Anonymous && f.Tag.Get("id") == "" {
			continue // its own fields stand for it
		}
		s = append(s, shapedField(row, f))
	}
	if len(s) == 0 {
		panic(fmt.Sprintf("page: %v has no columns", row))
	}
	shapes.Store(row, s)
	return s
}

func shapedField(row reflect.Type, f reflect.StructField) shaped {
	style, known := styleTags[f.Tag.Get("style")]
	id := f.Tag.Get("id")
	if !known || id == "" || !f.IsExported() {
		panic(fmt.Sprintf("page: the field %s of %v is no column: %q", f.Name, row, f.Tag))
	}
	out := shaped{index: f.Index, group: f.Tag.Get("group"), short: f.Tag.Get("short"),
		Field: Field{Column: Column{ID: id, Label: f.Tag.Get("label"), Unit: f.Tag.Get("unit"),
			Style: style, Apart: f.Tag.Get("apart") == "yes", Wide: f.Tag.Get("wide") == "yes"}}}
	switch {
	case f.Type == cellType:
		out.Type = AnyField
	case f.Type == manyType:
		out.Type = ManyField
	case f.Type.Kind() == reflect.Float64, f.Type == ownType:
	case f.Type.Kind() == reflect.Int:
		if out.Style == Plain {
			out.Style = Count
		}
	case f.Type.Kind() == reflect.String:
		out.Type = TextField
	case f.Type.Kind() == reflect.Bool:
		out.Type = TruthField
	default:
		panic(fmt.Sprintf("page: the field %s of %v is of a type no cell has", f.Name, row))
	}
	out.Maybe = behindPointer(row, f.Index)
	out.blank, out.difference = f.Tag.Get("blank") == "yes", f.Tag.Get("difference") == "yes"
	return out
}

// behindPointer tells whether a field is in an embedded pointer, which may be empty.
func behindPointer(row reflect.Type, index []int) bool {
	for i := range index[1:] {
		if row.FieldByIndex(index[:i+1]).Type.Kind() == reflect.Pointer {
			return true
		}
	}
	return false
}

// columns are the columns with their names filled in, as many as the row has; of no row, those that every row has.
func (s shape) columns(names Names, row reflect.Value) []Column {
	fill := func(text string) string {
		if !strings.Contains(text, "{") {
			return text
		}
		for name, is := range names {
			text = strings.ReplaceAll(text, "{"+name+"}", is)
		}
		return text
	}
	var out []Column
	for _, f := range s {
		var v reflect.Value
		if row.IsValid() {
			v, _ = row.FieldByIndexErr(f.index)
		}
		if !v.IsValid() && (f.Maybe || f.Type == ManyField) {
			continue
		}
		c := f.Column
		if c.Unit, c.Label = fill(c.Unit), fill(c.Label); f.difference {
			c.Unit = DifferenceUnit(c.Unit)
		}
		if f.Type != ManyField {
			c.ID = fill(c.ID)
			out = append(out, c)
			continue
		}
		many := v.Interface().(Many)
		out = append(out, many.Columns...)
		for i, id := range many.IDs {
			c.ID = id
			if i < len(many.Labels) {
				c.Label = many.Labels[i]
			}
			out = append(out, c)
		}
	}
	return out
}

func (s shape) cells(row reflect.Value) []Cell {
	out := make([]Cell, 0, len(s))
	for _, f := range s {
		v := row.Field(f.index[0])
		if len(f.index) > 1 {
			var err error
			if v, err = row.FieldByIndexErr(f.index); err != nil {
				continue // an embedded pointer that is not set
			}
		}
		switch f.Type {
		case TextField:
			if f.blank {
				out = append(out, T(v.String()))
			} else {
				out = append(out, Maybe(v.String()))
			}
		case AnyField:
			out = append(out, v.Interface().(Cell))
		case ManyField:
			out = append(out, v.Interface().(Many).Cells...)
		case TruthField:
			out = append(out, Is(v.Bool()))
		default:
			out = append(out, numberCell(v))
		}
	}
	return out
}

// numberCell is the cell of a field of numbers.
func numberCell(v reflect.Value) Cell {
	switch {
	case v.CanInt():
		return N(float64(v.Int()))
	case v.CanFloat():
		return N(v.Float())
	}
	own := v.Interface().(Quantity)
	c := N(own.Value)
	if c.Kind == Number {
		c.Unit, c.Step = own.Unit, own.Step
	}
	return c
}

// Maybe is a text cell, or an empty one where there are no words.
func Maybe(text string) Cell {
	if text == "" {
		return Cell{}
	}
	return T(text)
}

// Is is a cell of a truth value.
func Is(true bool) Cell {
	c := Cell{Kind: Truth}
	if true {
		c.Num = 1
	}
	return c
}
