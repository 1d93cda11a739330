// Package frames holds test series as data frames: a gota data frame with what gota
// does not keep beside it (missing mask, units, roles, level order, file lines,
// specimens set aside). It is the only package that imports gota.
package frames

import "breakbook/frames/units"

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
	Found    Role = "found"
)

// Column describes one column; its values are read through the Frame.
type Column struct {
	Name   string // made plain: "break_load"
	Label  string // the header as written, with the unit taken off: "Break load"
	Header string // the header exactly as written
	Kind   Kind
	Unit   units.Unit
	Role   Role
	Levels []string // of a category, in order, the baseline first; only levels that occur or were given
}

// Frame is one series of specimens, one row a specimen. It never changes: every
// method that shapes it returns another Frame that shares what stayed the same.
type Frame struct {
	// fields are this package's own: a dataframe.DataFrame and what stands beside it
}

// Len is the number of specimens, those set aside included.
func (f *Frame) Len() int { return 0 }

// Columns describes the columns in file order.
func (f *Frame) Columns() []Column { return nil }

// Column finds a column by its plain name.
func (f *Frame) Column(name string) (Column, bool) { return Column{}, false }

// WithRole is the column marked with the role, if any.
func (f *Frame) RoleColumn(r Role) (Column, bool) { return Column{}, false }

// Numbers returns the values of a number column, one a specimen, NaN where missing.
// For a column of another kind it returns an *Error with code "not-a-number-column".
func (f *Frame) Numbers(name string) ([]float64, error) { return nil, nil }

// Codes returns for each specimen the index of its level in Column.Levels, -1 where missing.
// For a number column it is an *Error with code "not-a-category".
func (f *Frame) Codes(name string) ([]int, error) { return nil, nil }

// Cell is one cell as text for showing rows: a number in its shortest exact form.
// The second result is false where it is missing.
func (f *Frame) Cell(name string, row int) (string, bool) { return "", false }

// Line is the line of the file a specimen was read from (1-based), or 0.
func (f *Frame) Line(row int) int { return 0 }

// SpecimenName is the specimen's value in the specimen column, else its row number (1-based).
func (f *Frame) SpecimenName(row int) string { return "" }

// Aside says why a specimen was set aside; false for one that takes part.
func (f *Frame) Aside(row int) (reason string, aside bool) { return "", false }

// Subset keeps the rows whose mask is true.
func (f *Frame) Subset(keep []bool) *Frame { return f }

// SetUnit, SetRole, SetKind and SetLevels return the frame with one column changed.
func (f *Frame) SetUnit(column string, u units.Unit) (*Frame, error) { return f, nil }

// SetRole marks a column. A role other than block is taken off the column that had it.
func (f *Frame) SetRole(column string, r Role) (*Frame, error) { return f, nil }

// SetKind makes a column a number, category or text column. From text to number,
// cells that are no number become missing; they are listed in lost.
func (f *Frame) SetKind(column string, k Kind) (next *Frame, lost []Lost, err error) {
	return f, nil, nil
}

// SetLevels gives the order of a category's levels. Levels not named keep their
// natural order after the ones named.
func (f *Frame) SetLevels(column string, order []string) (*Frame, error) { return f, nil }

// Lost is a cell that a change of kind made missing.
type Lost struct {
	Line int
	Word string
}

// Masks pick rows, one truth value a specimen; a missing cell is never picked.

// Is picks the rows whose category or text cell is one of the words, or whose number
// cell (also of a category made of numbers) equals one.
func (f *Frame) Is(column string, words []string) ([]bool, error) { return nil, nil }

// IsNumber picks the rows whose number is one of values, given in unit u (None: the column's own).
func (f *Frame) IsNumber(column string, values []float64, u units.Unit) ([]bool, error) {
	return nil, nil
}

// Compare picks the rows whose number stands in relation op (<, <=, >, >=) to x, given in unit u.
func (f *Frame) Compare(column, op string, x float64, u units.Unit) ([]bool, error) {
	return nil, nil
}

// MissingIn picks the rows where the column has no value.
func (f *Frame) MissingIn(column string) ([]bool, error) { return nil, nil }

// Source is where a frame came from.
type Source struct {
	Path   string // as given
	SHA256 string // of the file's bytes
	Bytes  int64
}

// Source is the file the frame was read from.
func (f *Frame) Source() Source { return Source{} }

// Overrides replace what would be detected; zero values mean "detect".
type Overrides struct {
	Separator rune // ',', ';', '\t' or '|'
	Decimal   rune // '.' or ','
	Missing   []string
}

// Reading says how a file was understood and what was odd about it.
type Reading struct {
	Separator    string // "comma", "semicolon", "tab", "bar"
	Decimal      string // "point", "comma"
	Encoding     string // "UTF-8", "UTF-8 with byte-order mark", …
	HeaderLine   int
	MissingWords []string // the words met that were taken as missing
	Remarks      []Remark // things a person should be told, in file order
}

// Remark is one odd thing about a file: data, to be put into words by repl/say.
type Remark struct {
	Code   string // "duplicate-header", "stray-word", "mass-as-load", "leading-zeros", …
	Column string
	Line   int
	Word   string
	Count  int
}

// Open reads a CSV file into a frame. Errors are *Error with the file and, where
// there is one, the line.
func Open(path string, o Overrides) (*Frame, *Reading, error) { return nil, nil, nil }

// Error is what can go wrong with a file or a column.
type Error struct {
	Code   string // "no-such-file", "is-a-folder", "empty-file", "unreadable", "binary", "ragged-row", "unknown-column", …
	File   string
	Line   int
	Column string
	Word   string
	Detail string // the rest of the sentence
	Hint   string
	Err    error
}

func (e *Error) Error() string { return e.Detail }
func (e *Error) Unwrap() error { return e.Err }
