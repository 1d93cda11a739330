package frames

import (
	"strconv"
	"strings"
)

// Error is what can go wrong with a file or a column. The codes:
//
// of a file: no-such-file, is-a-folder, not-a-file, unreadable, empty-file,
// header-only, binary, ragged-row (a row longer than the header, or far too many
// short ones), broken-quote, too-many-columns, cell-too-long, too-large (more than
// memory allows), grows-too-far (a gzip, a part of a workbook), wrong-encoding, bad-override;
//
// of a workbook: other-workbook (of a kind that is not read), locked-workbook, damaged-workbook,
// no-such-sheet, no-cells (a chart);
//
// of a column: unknown-column, not-a-number-column, not-a-category, not-a-number
// (a word where a number is needed), unknown-level, unknown-relation, unknown-role.
type Error struct {
	Code   string
	File   string // as given to Open
	Line   int    // 1-based, 0 where the fault is not on one line
	Column string
	Word   string // the file, column, level or cell at fault
	Detail string // the rest of the sentence
	Hint   string // "did you mean gates.csv?", or the command that helps
	Near   string // of a sheet that is not there: the one that was probably meant
	Err    error
}

// Error is one plain sentence naming file and line:
// "gates.csv line 14: 7 cells where the header has 6".
func (e *Error) Error() string {
	switch {
	case e.File == "" || strings.Contains(e.Detail, e.File):
		return e.Detail
	case e.Line == 0:
		return e.File + ": " + e.Detail
	}
	return e.File + " line " + strconv.Itoa(e.Line) + ": " + e.Detail
}

// Unwrap is the cause, where the system gave one.
func (e *Error) Unwrap() error { return e.Err }
