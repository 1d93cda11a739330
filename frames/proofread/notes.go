package proofread

import (
	"context"
	"strings"
	"unicode"
	"unicode/utf8"

	"breakbook/frames"
	"breakbook/models/parallel"
)

// mostNotes is how many lines of notes a sheet has under its table at most.
const mostNotes = 10

// namesOfLong is how many names of a long series notes are compared with.
const namesOfLong = 1000

// Notes gives the remark on notes under a table alone; of a long series by the last names of its specimens.
func Notes(ctx context.Context, f *frames.Frame) (all []Remark, err error) {
	defer parallel.Catch(&err)
	return notes(newTable(ctx, f, f.Len() >= Long)), nil
}

// notes finds the rows at the foot of a series that hold nothing but a text in the first column which is not
// written as the names above it are. A joint whose cells are still empty has a name like theirs; under such joints
// only a text with a colon begins the notes.
func notes(t *table) []Remark {
	if len(t.columns) < 2 || t.columns[0].Kind == frames.Number {
		return nil
	}
	r := Remark{Code: Note, Column: t.columns[0].Name}
	footer := t.rows
	for footer > 0 && t.rows-footer < mostNotes && (t.out[footer-1] || t.alone(footer-1)) {
		footer--
	}
	if footer == t.rows {
		return nil
	}
	names := t.namesAbove(footer)
	unfinished := false
	for row := t.rows - 1; row >= footer; row-- {
		if t.out[row] {
			continue
		}
		cell, _ := t.f.Cell(r.Column, row)
		if !names.unlike(cell) {
			unfinished = true
			break
		}
		r.Rows, r.Word = append([]int{row}, r.Rows...), cell
	}
	if len(r.Rows) == 0 || unfinished && (names.colon || !strings.ContainsRune(r.Word, ':')) {
		return nil
	}
	return []Remark{r}
}

// alone reports whether a row holds something in the first column and in no other.
func (t *table) alone(row int) bool {
	for i, c := range t.columns {
		if _, there := t.f.Cell(c.Name, row); there != (i == 0) {
			return false
		}
	}
	return true
}

// namesAbove is how the names of specimens are written.
type namesAbove struct {
	n       int  // how many there are, of specimens with anything in other columns
	longest int  // of them, in letters
	colon   bool // some have one
	numbers bool // all are numbers
}

func (t *table) namesAbove(footer int) namesAbove {
	names := namesAbove{numbers: true}
	first := 0
	if t.quick {
		first = max(0, footer-namesOfLong)
	}
	for row := first; row < footer; row++ {
		parallel.LookAt(t.ctx, row)
		cell, there := t.f.Cell(t.columns[0].Name, row)
		if t.out[row] || !there || t.alone(row) {
			continue
		}
		_, number := t.f.NumberIn(cell)
		names.n++
		names.longest = max(names.longest, utf8.RuneCountInString(cell))
		names.colon = names.colon || strings.ContainsRune(cell, ':')
		names.numbers = names.numbers && number
	}
	return names
}

// unlike reports whether a cell is no name beside these: words, with a colon where no name has one, twice as long as
// the longest of them, or without a digit among numbers.
func (n namesAbove) unlike(cell string) bool {
	if n.n < 3 || !strings.ContainsFunc(cell, unicode.IsLetter) {
		return false
	}
	words := strings.ContainsFunc(cell, unicode.IsSpace)
	return !n.colon && strings.ContainsRune(cell, ':') || words && utf8.RuneCountInString(cell) > 2*n.longest ||
		n.numbers && !strings.ContainsFunc(cell, unicode.IsDigit)
}
