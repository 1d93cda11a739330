package reading

import (
	"fmt"

	"breakbook/frames"
	"breakbook/frames/cells"
	"breakbook/frames/files"
)

// cellMemory is about how many bytes a cell takes while it is read and once it is.
const cellMemory = 40

// roomFor refuses a table that would take more memory than the program allows itself.
func roomFor(text, rows, columns int) error {
	needs := int64(text) + int64(rows)*int64(columns)*cellMemory
	if may := files.MostMemory(); needs > may {
		return &frames.Error{Code: "too-large", Hint: files.MoreMemory(needs + needs/4),
			Detail: fmt.Sprintf("about %d rows of %d columns need some %s of memory, and breakbook takes at most %s",
				rows, columns, files.Size(needs), files.Size(may))}
	}
	return nil
}

// tooManyColumns refuses a row, the header or another.
func tooManyColumns(line int, what string) error {
	return &frames.Error{Code: "too-many-columns", Line: line, Hint: "say what separates the cells: separated by tab",
		Detail: fmt.Sprintf("%s; a series has at most %d columns", what, frames.MostColumns)}
}

// quoteHint is the way out of quotes that do not match up.
const quoteHint = "put the whole cell in quotes and double every quote inside it"

// uncut is a record that cannot be cut into cells, as an *Error; named is the column of
// a cell, counted from 1, "" where it is not known.
func uncut(err error, named func(cell int) string) error {
	e, ok := err.(*cells.Error)
	if !ok {
		return err
	}
	switch e.Fault {
	case cells.RecordTooLong:
		return tooManyColumns(e.Line, fmt.Sprintf("there are more than %d cells", cells.MostCells))
	case cells.CellTooLong:
		column := named(e.Cell)
		what := "the cell of " + column
		if column == "" {
			what = fmt.Sprintf("cell %d", e.Cell)
		}
		return &frames.Error{Code: "cell-too-long", Line: e.Line, Hint: "shorten it, or close its quote",
			Detail: fmt.Sprintf("%s is longer than the %s that are read", what, files.Size(cells.MostBytes))}
	}
	return &frames.Error{Code: "broken-quote", Line: e.Line, Hint: quoteHint, Detail: e.Error()}
}

// unnamed is for a row before there is a header.
func unnamed(int) string { return "" }
