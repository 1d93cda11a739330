// Package frames holds test series as data frames: a gota series for each column, with what
// gota does not keep beside it (missing mask, units, roles, level order, file lines,
// specimens set aside). It is the only package that imports gota.
//
// A number column is a Float series (NaN where missing), a category column an Int series of
// codes into its words (-1 where missing), a text column a String series. Holding and
// subsetting are gota's; typing, comparing and the order of levels are done here. The series
// stand in a plain slice and not in gota's data frame, which copies every column whenever one
// is added or put in another's place: so a step shares the columns that it did not touch.
package frames

import (
	"context"
	"iter"
	"math"
	"slices"
	"strconv"

	"github.com/go-gota/gota/series"

	"breakbook/frames/meant"
	"breakbook/frames/notation"
	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Kind is what a column holds.
type Kind uint8

const (
	Number Kind = iota
	Category
	Text
)

// String is the bench word: number, category, text.
func (k Kind) String() string { return [...]string{"number", "category", "text"}[k] }

// Role is what a column is for.
type Role string

const (
	NoRole   Role = ""
	Specimen Role = "specimen"
	Load     Role = "load"
	Failure  Role = "failure"
	Block    Role = "block"
	Weight   Role = "weight"
	Order    Role = "order"
	Given    Role = "given"  // a property the blank already has, not chosen
	Result   Role = "result" // came out of the test, never a factor
)

// several reports whether more than one column of a series may have the role.
func (r Role) several() bool { return r == NoRole || r == Block || r == Given || r == Result }

// roles are all of them.
var roles = []Role{NoRole, Specimen, Load, Failure, Block, Weight, Order, Given, Result}

// Column describes one column; its values are read through the Frame.
type Column struct {
	Name       string // made plain: "break_load"
	Label      string // the header as written, with the unit taken off: "Break load"
	Header     string // the header exactly as written; of two lines, with a blank between
	Kind       Kind
	Unit       units.Unit
	Role       Role
	Levels     []string // of a category, in order, the baseline first; only levels that occur
	OrderGiven bool     // of a category: its levels were put in this order by name
	Group      string   // the name over it in a header of two lines, "" for none

	Difference bool // of a temperature: the values are differences, which have no zero to shift

	Made bool // worked out here from other columns or from readings, and not entered
	// From are the columns that it was worked out from, and those that they were; nil where they are not known
	From []string

	// Step is the finest step that numbers support which were converted or worked out: their digits beyond
	// it come from the calculation. It is 0 where they are as they were written.
	Step float64

	Gauge string // the file by whose table it was corrected last, "" for none

	LnOf     *origin.Logarithm  // of numbers that were worked out as natural logarithms: of what
	Adjusted *origin.Adjustment // of numbers that were brought to reference conditions: to which
}

// MostColumns is as wide as a spreadsheet gets, and a series.
const MostColumns = 16384

// Frame is one series of specimens, one row a specimen. It never changes: every
// method that shapes it returns another Frame that shares what stayed the same.
type Frame struct {
	columns   []series.Series // never changed once the frame is made: other frames hold them too
	held      []held          // beside each of the columns, in their order
	at        map[string]int  // place of a column by its name
	lines     []int32         // file line of each row
	counts    []int32         // in a part of a frame, each row's number in the whole, from 1; nil in a whole one
	aside     []string        // why a row is set aside, "" for one that takes part; nil when all do
	corrected []Correction    // cells that were given another value than the file has
	absent    []string        // the words that meant a missing value in its file
	source    Source
	files     []Source   // of a frame put together: the files of its parts; nil for one that was read
	slips     *rowCurves // load–slip readings that belong to the rows; nil where none were read
	beside    []Source   // whose numbers are in it besides those of its own file

	decimal, thousands byte               // its file's marks, for text read as numbers later
	dates              notation.DateOrder // the order of its dates, for levels that are dates
	understood         *Reading           // how its file was understood; nil where there is no one file
}

// held is what stands beside one gota column.
type held struct {
	Column
	missing []bool   // nil where nothing is missing
	words   []string // of a category: what a code stands for
	place   []int    // of a category: the place in Levels of a code, -1 where it does not occur
}

func (h *held) gone(row int) bool { return h.missing != nil && h.missing[row] }

// Len is the number of specimens, those set aside included.
func (f *Frame) Len() int { return len(f.lines) }

// Columns describes the columns in file order.
func (f *Frame) Columns() []Column {
	return lists.Mapped(f.held, func(h held) Column { return h.Column })
}

// Column finds a column by its plain name.
func (f *Frame) Column(name string) (Column, bool) {
	i, ok := f.at[name]
	if !ok {
		return Column{}, false
	}
	return f.held[i].Column, true
}

// RoleColumn is the first column marked with the role, if any.
func (f *Frame) RoleColumn(r Role) (Column, bool) {
	for _, h := range f.held {
		if h.Role == r {
			return h.Column, true
		}
	}
	return Column{}, false
}

// Numbers returns the values of a number column, one a specimen, NaN where missing.
// For a column of another kind it returns an *Error with code "not-a-number-column",
// for a name that is no column one with "unknown-column".
func (f *Frame) Numbers(name string) ([]float64, error) {
	each, err := f.EachNumber(name)
	if err != nil {
		return nil, err
	}
	values := make([]float64, f.Len())
	for row, x := range each { // gota's own way fills another slice first
		values[row] = x
	}
	return values, nil
}

// EachNumber goes over what Numbers returns, without a slice of it.
func (f *Frame) EachNumber(name string) (iter.Seq2[int, float64], error) {
	i, err := f.find(name)
	if err != nil {
		return nil, err
	}
	if f.held[i].Kind != Number {
		return nil, f.notNumbers(i)
	}
	column := f.columns[i]
	return func(yield func(int, float64) bool) {
		for row := range f.Len() {
			if !yield(row, column.Elem(row).Float()) {
				return
			}
		}
	}, nil
}

// Extent is the least and the largest value of a column, NaN where it holds no number,
// and how many of its cells are missing.
type Extent struct {
	Least, Most float64
	Missing     int
}

// Extent gives the extent of a column; for a name that is no column as for an empty one. It is
// parallel.Stopped where ctx ends.
func (f *Frame) Extent(ctx context.Context, name string) Extent {
	e := nothing
	i, ok := f.at[name]
	if !ok {
		return e
	}
	h := &f.held[i]
	for _, gone := range h.missing {
		if gone {
			e.Missing++
		}
	}
	if h.Kind == Number {
		for row := range f.Len() {
			parallel.LookAt(ctx, row)
			e.take(f.columns[i].Elem(row).Float())
		}
	}
	return e
}

// nothing is the extent of no cells.
var nothing = Extent{Least: math.NaN(), Most: math.NaN()}

// take widens the extent to a number; a missing one (NaN) changes nothing.
func (e *Extent) take(x float64) {
	if !(x >= e.Least) && x == x {
		e.Least = x
	}
	if !(x <= e.Most) && x == x {
		e.Most = x
	}
}

// Codes returns for each specimen the index of its level in Column.Levels, -1 where
// missing. For a column of another kind it is an *Error with code "not-a-category"; it is ctx's
// own where that ends.
func (f *Frame) Codes(ctx context.Context, name string) (_ []int, err error) {
	defer parallel.Catch(&err)
	i, err := f.category(name)
	if err != nil {
		return nil, err
	}
	codes := make([]int, f.Len())
	for row := range codes {
		parallel.LookAt(ctx, row)
		codes[row] = f.level(i, row)
	}
	return codes, nil
}

func (f *Frame) category(name string) (column int, err error) {
	i, err := f.find(name)
	if err != nil {
		return 0, err
	}
	if kind := f.held[i].Kind; kind != Category {
		return 0, &Error{Code: "not-a-category", Column: name, Detail: name + " is a " + kind.String() +
			" column, not a category", Hint: "treat " + name + " as category"}
	}
	return i, nil
}

// level is the place in Levels of a category cell, -1 where it is missing.
func (f *Frame) level(column, row int) int {
	code, err := f.columns[column].Elem(row).Int()
	if err != nil || code < 0 {
		return -1
	}
	return f.held[column].place[code]
}

// Cell is one cell as text for showing rows: a number in its shortest exact form.
// The second result is false where it is missing or there is no such cell.
func (f *Frame) Cell(name string, row int) (string, bool) {
	i, ok := f.at[name]
	if !ok || row < 0 || row >= f.Len() || f.held[i].gone(row) {
		return "", false
	}
	return f.cell(i, row), true
}

// cell is the text of a cell that is not missing.
func (f *Frame) cell(column, row int) string {
	h := &f.held[column]
	switch h.Kind {
	case Number:
		return shortest(f.columns[column].Elem(row).Float())
	case Category:
		return h.Levels[f.level(column, row)]
	}
	return f.columns[column].Elem(row).String()
}

// shortest is the shortest text that reads back as the same number.
func shortest(x float64) string {
	if a := math.Abs(x); a != 0 && (a < 1e-5 || a >= 1e15) {
		return strconv.FormatFloat(x, 'e', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// Line is the line of the file a specimen was read from (1-based), or 0.
func (f *Frame) Line(row int) int {
	if row < 0 || row >= f.Len() {
		return 0
	}
	return int(f.lines[row])
}

// SpecimenName is the specimen's value in the specimen column, else its row number (1-based),
// which in a Subset is still that of the whole frame.
func (f *Frame) SpecimenName(row int) string {
	if c, ok := f.RoleColumn(Specimen); ok {
		if name, ok := f.Cell(c.Name, row); ok {
			return name
		}
	}
	return strconv.Itoa(int(f.count(row)))
}

// EachSpecimen visits what SpecimenName is of every row, until visit is false.
func (f *Frame) EachSpecimen(visit func(name string) bool) {
	column, named := f.RoleColumn(Specimen)
	for row := range f.Len() {
		name, there := "", false
		if named {
			name, there = f.Cell(column.Name, row)
		}
		if !there {
			name = strconv.Itoa(int(f.count(row)))
		}
		if !visit(name) {
			return
		}
	}
}

// count is the number of a row in the whole frame.
func (f *Frame) count(row int) int32 {
	if row < 0 || row >= len(f.counts) {
		return int32(row + 1)
	}
	return f.counts[row]
}

// Aside says why a specimen was set aside; false for one that takes part.
func (f *Frame) Aside(row int) (reason string, aside bool) {
	if f.aside == nil || row < 0 || row >= f.Len() {
		return "", false
	}
	return f.aside[row], f.aside[row] != ""
}

// AnyAside reports whether some specimen may be set aside.
func (f *Frame) AnyAside() bool { return f.aside != nil }

// Source is the file the frame was read from.
func (f *Frame) Source() Source { return f.source }

// Reading says how the file was understood; nil for a frame that was not read from one.
func (f *Frame) Reading() *Reading { return f.understood }

// with is a copy of the frame that may be given another held column.
func (f *Frame) with(column int, h held) *Frame {
	next := *f
	next.held = slices.Clone(f.held)
	next.held[column] = h
	return &next
}

func (f *Frame) find(name string) (int, error) {
	if i, ok := f.at[name]; ok {
		return i, nil
	}
	names := lists.Mapped(f.held, func(h held) string { return h.Name })
	return 0, &Error{Code: "unknown-column", File: f.source.Path, Column: name, Word: name,
		Hint: meant.Hint(name, names), Detail: "there is no column " + name}
}

func (f *Frame) notNumbers(column int) *Error {
	h := f.held[column]
	e := &Error{Code: "not-a-number-column", File: f.source.Path, Column: h.Name,
		Detail: h.Name + " is a " + h.Kind.String() + " column, not numbers"}
	if f.MostlyNumbers(h.Name) {
		e.Hint = "treat " + h.Name + " as number"
	}
	return e
}
