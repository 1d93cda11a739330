// Package page holds what one command gave, as data: findings, tables, values, figure specifications and cautions.
// Nothing here is text for a medium yet; repl/render turns it into a terminal screen, JSON, Markdown or HTML.
package page

// Entry is one command of the book and its result.
type Entry struct {
	Number    int        // from 1; never reused within a book
	Input     string     // the command as typed
	Kind      string     // "fit", "open", …: the `kind` of the JSON contract
	Name      string     // the result's name ("fit1"), if it has one
	Series    string     // the series it was computed on, if any
	Response  string     // the measure that it put one more question to, as the book counts them; "" for none
	Mode      string     // the way of breaking whose strength it tells ("failure was glue"); "" for none
	Specimens *Specimens // how many specimens took part; nil where nothing was counted
	LeftOut   []LeftOut  // the first of those that took no part because a value is missing
	Findings  []Sentence // the main one first
	Doubts    []Doubt    // held against its answers, the worst first
	Tables    []Table
	Values    []Value
	Figures   []Figure
	Sketch    *Figure // a figure for the screen, drawn in text and in no file; nil: none
	Cautions  []Sentence
	Numbered  []CautionNumber // of each caution, in its order; none for an entry outside the book
	Next      []string        // lines that fit this result, whole, to be typed next
	Whole     bool            // a result shown again: a screen leaves nothing of it out, and it stays out of the book
	Prose     string          // the text of a note, a heading or a conclusion
	Files     []File          // the files that Input names
	Reads     []string        // paths of files it read beside that of a series: curves, a gauge's table, a look, blanks
	Asks      []Ask           // what the loop must still do: write, replay, quit
	Problem   *Problem        // nil when the command worked
}

// Find puts findings behind those there are; an empty sentence is none.
func (e *Entry) Find(said ...Sentence) { e.Findings = appended(e.Findings, said) }

// Warn puts cautions behind those there are; an empty sentence is none.
func (e *Entry) Warn(said ...Sentence) { e.Cautions = appended(e.Cautions, said) }

func appended(to, said []Sentence) []Sentence {
	for _, s := range said {
		if len(s) > 0 {
			to = append(to, s)
		}
	}
	return to
}

// CautionNumber is a caution's number in the book, and whether an earlier entry told it in full.
type CautionNumber struct {
	N     int
	Again bool
}

// Doubt is what the program's own checks hold against an answer.
type Doubt struct {
	Code       string // of the JSON contract: left-out, bend, …
	About      string // the column, specimen or factors that it is about
	Text       Sentence
	AnswerThen string   // the answer under the remedy; "" where there is none
	Try        string   // the line that answers without the doubt; ""
	Of         []string // the differences it concerns
}

// Specimens counts who took part in an analysis.
type Specimens struct {
	Used, SetAside, Missing int
}

// LeftOut is a specimen that took no part in an analysis, and the columns it lacks a value in.
type LeftOut struct {
	Specimen string
	Lacks    []string
}

// Table is one table of a result. The ids are fixed by the JSON contract.
type Table struct {
	ID      string
	Title   Sentence
	Columns []Column
	Rows    [][]Cell
	Note    Sentence // one line under the table, if any
	Second  bool     // the findings say all that one reads: on a screen they get the room first
	Rest    string   // where all of it stands ("in sheet.csv"), a screen having the first rows; empty: on the screen
}

// Column heads a table column. Label is what a person reads; ID is the contract's.
type Column struct {
	ID    string
	Label string // empty: the ID with blanks for underscores
	Unit  string
	Style Style
	Apart bool // of exact numbers: they are of different kinds, and none carries the digits of another
	Wide  bool // left out of a narrow terminal first (everything stays in JSON and reports)
	Given bool // of the sheet itself, not worked out: shown though nothing may stand in it yet
}

// Cell is one table cell: text, a number, a truth value or nothing.
type Cell struct {
	Kind  CellKind
	Num   float64
	Text  string
	Unit  string  // for a cell whose unit is not its column's
	Step  float64 // of an exact number: the finest step it supports, beyond which no digit is shown; 0: all its own
	Doubt string  // of an answer: what its checks hold against it
}

// CellKind tells what a Cell holds.
type CellKind uint8

const (
	Empty CellKind = iota
	Number
	Text
	Truth // Num is 1 for true
)

// N is a number cell; a NaN or infinite number is an empty one.
func N(x float64) Cell {
	if x-x != 0 {
		return Cell{}
	}
	return Cell{Kind: Number, Num: x}
}

// T is a text cell.
func T(s string) Cell { return Cell{Kind: Text, Text: s} }

// Value is one figure that belongs to the whole result: `values` of the contract.
type Value struct {
	ID    string
	Group string // the line it is on; where there are groups the screen shows only these, the full result all
	Short string // what it is called on that line; empty: the Label
	Label string // empty: the ID with blanks for underscores
	Cell  Cell
	Unit  string
	Style Style
}

// Problem is the one kind of error a user sees.
type Problem struct {
	Code    Code   // CodeUnknownColumn, …
	Message string // one line: names the thing and the place
	At      int    // 1-based character of Entry.Input; 0 when there is no place
	Hint    string // "did you mean load?", if there is one
}

func (p *Problem) Error() string { return p.Message }

// Refuse is a problem with its place and its hint; 0 and "" where it has none.
func Refuse(code Code, at int, message, hint string) *Problem {
	return &Problem{Code: code, At: at, Message: message, Hint: hint}
}

// File is a file that a command names.
type File struct {
	Path    string // where it is, absolute
	Typed   string // as it was typed
	At, End int    // 1-based characters of Entry.Input: its first, and the one after its last
	Written bool   // the command wrote it; else it read it
}

// Ask is work with files or with the session itself that the loop does for a
// command once it has succeeded; if the work fails, the session stays as it was.
type Ask struct {
	Kind    AskKind
	Path    string
	Content []byte   // of a Write; dropped once it is written
	Sheet   *Sheet   // of a Write: what Content is a sheet of
	Printed *Printed // of a Write: the sheet that Content is to be, as a page to print; dropped once it is written
	Title   string   // of a Report: its title, "" where none was given
	By      string   // of a Report: whose it is, "" where nobody was named
	Dated   string   // of a Report: its date, as it was typed; "" where none was
	Beside  bool     // of a Write: it goes with the one before, and is left where that is
}

// Sheet says what a test sheet is for.
type Sheet struct {
	Plan   string // the result's name
	Result string // the column that the results go into
}

// Printed is a test sheet as a page to print and to fill in by hand.
type Printed struct {
	Plan     string   // the result's name
	Aim      Sentence // what the plan is for
	Columns  []PrintedColumn
	Days     []PrintedDay
	Stages   int      // of the plan
	Filling  []string // what to write, under every table
	Cautions []string // once, at the end
}

// PrintedColumn is a column of a test sheet.
type PrintedColumn struct {
	Label, Unit string
	Fill        bool // it is to be filled in
}

// PrintedDay is what begins a new page: a bench day, else a stage, else all.
type PrintedDay struct {
	Day, Stage string // their numbers; "" where the sheet knows of none
	Rows       [][]string
}

// AskKind says what the loop is asked to do.
type AskKind uint8

const (
	SaveBook      AskKind = iota // write the book to Path
	Report                       // write the report to Path (.html or .md)
	Replay                       // run the commands of the book at Path
	Quit                         // leave
	Write                        // write Content to Path; several in one entry are written all or none
	Resume                       // take up the latest book that was not saved
	ForgetJournal                // drop it
	Learn                        // begin the lesson
	Demo                         // run the shipped example
	LeaveUnsaved                 // keep nothing of this book that is not saved
)
