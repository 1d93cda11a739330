// Package phrase holds the bench language: the table of commands, the struct of each and
// what it is made of, and the writer. A command comes in, out goes the line that gives it;
// a line comes in, out go the pieces it has. Reading a piece is the parser's.
package phrase

import (
	"reflect"
	"slices"
)

// Command is one command, parsed or made. In each part of it, At is the 1-based character of Input where the part
// stands, 0 where it was not typed.
type Command struct {
	Entry *Entry // the table's entry
	Input string // the command as typed, without its neighbours on the line
	At    int    // 1-based character of the line at which Input starts

	Files []FileUse // the files it names, in the order typed

	Do any // a pointer to the command's own struct: *Compare, *Fit, …
}

// Clauses are the command's clauses; for a command that takes none, none.
func (c *Command) Clauses() *Clauses {
	if own, ok := c.Do.(interface{ clauses() *Clauses }); ok {
		return own.clauses()
	}
	return &Clauses{}
}

func (c *Clauses) clauses() *Clauses { return c }

// Replacing reports whether the command insists on a name that is taken.
func (c *Command) Replacing() bool {
	own, ok := c.Do.(interface{ replaces() bool })
	return ok && own.replaces()
}

// Copy is the command with a struct of its own: what is changed there leaves the first as
// it was. What the struct's pointers and lists lead to is shared, and is replaced, not
// changed.
func (c *Command) Copy() *Command {
	out := *c
	do := reflect.New(reflect.TypeOf(c.Do).Elem())
	do.Elem().Set(reflect.ValueOf(c.Do).Elem())
	out.Do = do.Interface()
	return &out
}

// Clauses are the words that may follow any analysis command.
type Clauses struct {
	For        Condition  `phrase:"for"`  // nil: every specimen
	From       *Name      `phrase:"from"` // another series than the current one
	As         *Name      `phrase:"as"`   // the name to give the result or series
	To         *File      `phrase:"to"`
	Each       *ColumnRef `phrase:"each"`
	Confidence *Amount    `phrase:"confidence"` // a fraction: 90% is 0.9
	Worth      *Amount    `phrase:"worth"`
	Per        *Text      `phrase:"per"` // of what a price is paid in, Worth is that of one unit of it
}

// ColumnRef names a column that exists.
type ColumnRef struct {
	Column string
	At     int
}

// LevelRef names a level that exists in a category column.
type LevelRef struct {
	Column, Level string
	At            int
}

// Name is a name in the book: of a series, a result, or one to be given. At is 0
// for a result that was not typed but is the latest that fits.
type Name struct {
	Text string
	At   int
}

// File is a path as typed, `~` not yet resolved.
type File struct {
	Path string
	At   int
}

// Files is a list of paths.
type Files struct {
	Paths []File
	At    int
}

// Text is the rest of a line, or a quoted text.
type Text struct {
	Text string
	At   int
}

// Texts is a list of words or quoted texts.
type Texts struct {
	List []string
	At   int
}

// Choice is one of the fixed words a slot allows ("number", "comma").
type Choice struct {
	Word string
	At   int
}

// Amount is a number with an optional unit. A percentage has Percent set and
// Value as a fraction: `10%` is 0.1. Beside a column (in a condition, or given to a
// prediction) a percentage is a value like any other: 10 in the unit percent.
type Amount struct {
	Value   float64
	Unit    string // a units.Parse spelling; empty when none was given
	Percent bool
	At      int
}

// Amounts is a list of amounts.
type Amounts struct {
	List []Amount
	At   int
}

// Which picks specimens, by name, by their row or by a condition: one of the three is there.
type Which struct {
	Specimens []Text  // as typed
	Rows      []Count // of the series, from 1
	Condition Condition
	At        int
}

// SpecimenRef is one specimen, by its name or by its row.
type SpecimenRef struct {
	Text string // as typed; "" where the row is given
	Row  int    // of the series, from 1; 0 where the name is given
	At   int
}

// Cell is what one cell is to hold: an amount, a word, or nothing.
type Cell struct {
	Amount  *Amount // of a number column
	Text    string  // of any other
	Missing bool
	At      int
}

// Count is a whole number.
type Count struct {
	Value int
	At    int
}

// Extent is "N" (the first N) or "N to M", 1-based and inclusive.
type Extent struct {
	First, Last int
	At          int
}

// UnitRef is a known unit in its canonical spelling.
type UnitRef struct {
	Unit string
	At   int
}

// Columns is a list of columns.
type Columns struct {
	List []ColumnRef
	At   int
}

// Levels is a list of levels of one column.
type Levels struct {
	List []LevelRef
	At   int
}

// NameList is a list of names (of results or series).
type NameList struct {
	List []Name
	At   int
}

// Response is a column or a function of one: `load`, `ln(load)`.
type Response struct {
	Column   ColumnRef
	Function string // "" or ln, log10, sqrt, exp, abs
	At       int
}

// Terms is a list of model terms, as typed.
type Terms struct {
	List []Term
	At   int
}

// Term is one item of a term list. A plain column has one Factor; together(a, b)
// has several and Together set; `density curved` has Curved set.
type Term struct {
	Factors  []Factor
	Together bool
	Curved   bool
	At       int
}

// The functions of a term whose place is looked for in the response: a jump, and another slope.
const (
	Step = "step"
	Kink = "kink"
)

// Change is the function of the term's one column where that is Step or Kink, else "".
func (t Term) Change() string {
	if len(t.Factors) == 1 && (t.Factors[0].Function == Step || t.Factors[0].Function == Kink) {
		return t.Factors[0].Function
	}
	return ""
}

// Factor is a column, a function of it or a power of it.
type Factor struct {
	Column   ColumnRef
	Function string  // "" or ln, log10, sqrt, exp, abs; step and kink of a term's only factor
	Power    float64 // 1 unless typed: x^3
	At       int
}

// Given is the list of inputs of a prediction: one item a column.
type Given struct {
	List []GivenItem
	At   int
}

// GivenItem is one column with the values asked for.
type GivenItem struct {
	Column ColumnRef
	Values []Value
	At     int
}

// Value is a level (for a category or text column) or an amount (for a number column).
type Value struct {
	Text   string  // the level or text; empty for an amount
	Amount *Amount // nil for a level or text
	At     int
}

// Blocks is a list of block columns: `board`, `day, board within day`.
type Blocks struct {
	List []BlockRef
	At   int
}

// BlockRef is one column of blocks. Within names the columns whose levels reuse its
// labels: board 1 of one day is not board 1 of another.
type BlockRef struct {
	Column ColumnRef
	Within []ColumnRef
	At     int
}

// Stack is lists of columns with `below` between them.
type Stack struct {
	List []Columns
	At   int
}

// Name is the block as typed: `board within day`.
func (b BlockRef) Name() string {
	name := b.Column.Column
	for _, w := range b.Within {
		name += " within " + w.Column
	}
	return name
}

// PerLevel is a number for every level, `8`, or one of its own for each that is named, `8 none, 12 pair`.
type PerLevel struct {
	All  *Count // nil: each has its own
	List []LevelCount
	At   int
}

// LevelCount is a number of specimens of one level.
type LevelCount struct {
	N     Count
	Level LevelRef
}

// Prices are what a specimen of each level that is named costs: `4 none, 6 pair`.
type Prices struct {
	List []LevelPrice
	Unit string // of a time in its canonical spelling, else the word as typed; "" for none
	At   int
}

// LevelPrice is what a specimen of one level costs.
type LevelPrice struct {
	Price float64
	Level LevelRef
	At    int
}

// Condition picks specimens: a tree of And, Or, Not, Is, Inequality and Missing.
type Condition interface {
	Place() int
	isCondition()
}

// And and Or join two conditions; Not turns one round.
type (
	And struct {
		Left, Right Condition
		At          int
	}
	Or struct {
		Left, Right Condition
		At          int
	}
	Not struct {
		Inner Condition
		At    int
	}
)

// Is holds where the column's value is one of Values (`is`, `among`), or, with
// Negate, none of them (`is not`, `is other than`).
type Is struct {
	Column ColumnRef
	Values []Value
	Negate bool
	At     int
}

// Inequality holds where the number column stands in relation Op (< <= > >=) to Value.
type Inequality struct {
	Column ColumnRef
	Op     string
	Value  Amount
	At     int
}

// Missing holds where the column has no value, or with Negate, where it has one.
type Missing struct {
	Column ColumnRef
	Negate bool
	At     int
}

func (c And) Place() int        { return c.At }
func (c Or) Place() int         { return c.At }
func (c Not) Place() int        { return c.At }
func (c Is) Place() int         { return c.At }
func (c Inequality) Place() int { return c.At }
func (c Missing) Place() int    { return c.At }
func (And) isCondition()        {}
func (Or) isCondition()         {}
func (Not) isCondition()        {}
func (Is) isCondition()         {}
func (Inequality) isCondition() {}
func (Missing) isCondition()    {}

// Known is what exists in the session, as the parser, the completion and the
// hints need it. The session implements it.
type Known interface {
	Current() string       // the current series, or ""
	SeriesNames() []string // in the order opened
	Columns(series string) []KnownColumn
	Results() []KnownResult                // the latest last
	RoleColumn(series, role string) string // the column marked so, or ""
	// LikelyColumn is the column of a series that most likely has a role that none is marked
	// with, or ""; sure says whether its unit or its header say so.
	LikelyColumn(series, role string) (column string, sure bool)
	// MostlyNumbers reports whether most of a column's cells are numbers, whatever its kind.
	MostlyNumbers(series, column string) bool
	// EachSpecimen visits the names of a series' specimens, in the order of its rows, until visit is
	// false; a series whose specimens have none has their row numbers.
	EachSpecimen(series string, visit func(name string) bool)
	// NowCalled is the present name of a column of the series that had this one, or "".
	NowCalled(series, name string) string
	// MadeBy is the line that makes a forgotten result again under its name, or "".
	MadeBy(result string) string
}

// NoPast is for what is Known without a session behind it: there are no specimens, a text may hold numbers, and
// nothing was renamed, forgotten or left unmarked.
type NoPast struct{}

func (NoPast) LikelyColumn(string, string) (string, bool) { return "", false }
func (NoPast) MostlyNumbers(string, string) bool          { return true }
func (NoPast) EachSpecimen(string, func(string) bool)     {}
func (NoPast) NowCalled(string, string) string            { return "" }
func (NoPast) MadeBy(string) string                       { return "" }

// KnownColumn is one column of a series.
type KnownColumn struct {
	Name   string   // made plain: "break_load"
	Label  string   // the header as written, with the unit taken off
	Header string   // the header as written; "" for a column that was given another name
	Kind   string   // number, category, text
	Unit   string   // canonical, or ""
	Levels []string // of a category
}

// KnownResult is a named result of an earlier entry.
type KnownResult struct {
	Name, Kind, Series string
	Columns            []string // the columns its terms use
	Blocked, Doubted   bool     // its fit is blocked; its answers carry doubts
}

// roleWords stand for the column marked so, where no column has that name.
var roleWords = []string{"load", "failure", "specimen", "block", "weight"}

// RoleWords are the words that stand for the column marked so.
func RoleWords() []string { return slices.Clone(roleWords) }

// TermsOf is a list of columns as terms.
func TermsOf(columns []string) Terms {
	var out Terms
	for _, c := range columns {
		out.List = append(out.List, TermOf(c))
	}
	return out
}

// TermOf is columns as one term: a column alone, or several together.
func TermOf(columns ...string) Term {
	t := Term{Together: len(columns) > 1}
	for _, c := range columns {
		t.Factors = append(t.Factors, Factor{Column: ColumnRef{Column: c}, Power: 1})
	}
	return t
}
