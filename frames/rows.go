package frames

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
)

// mostColumns is as wide as a spreadsheet gets.
const mostColumns = 16384

// rowReader goes through a file's records and hands the cells to the columns.
type rowReader struct {
	text      []byte
	separator byte
	quoted    bool
	header    int // its line
	columns   []*columnReader
	lines     []int32

	blank, emptyRows, short, beyond, filled happening
}

// happening counts something odd about rows and keeps the first line of it.
type happening struct{ line, count int }

func (h *happening) at(line int) {
	if h.count++; h.count == 1 {
		h.line = line
	}
}

// names reads the header: the first line with anything on it.
func (r *rowReader) names() ([]string, error) {
	c := r.csv()
	for {
		record, err := c.Read()
		if errors.Is(err, io.EOF) {
			return nil, &Error{Code: "empty-file", Detail: "there is nothing in it"}
		}
		if err != nil {
			return nil, csvError(err)
		}
		if len(record) == 1 && trim(record[0]) == "" {
			continue
		}
		r.header, _ = c.FieldPos(0)
		if len(record) > mostColumns {
			return nil, &Error{Code: "too-many-columns", Line: r.header,
				Detail: fmt.Sprintf("the header has %d cells; a series has at most %d columns", len(record), mostColumns)}
		}
		names := make([]string, len(record))
		for i, cell := range record {
			names[i] = strings.ToValidUTF8(strings.Clone(cell), "\ufffd")
		}
		return names, nil
	}
}

// pass reads every row into the columns given.
func (r *rowReader) pass(columns []*columnReader) error {
	room := min(bytes.Count(r.text, []byte{'\n'})+1, len(r.text)/len(r.columns)+1)
	r.lines = make([]int32, 0, room)
	r.blank, r.emptyRows, r.short, r.beyond, r.filled = happening{}, happening{}, happening{}, happening{}, happening{}
	places := make([]int, 0, len(columns))
	for i, c := range r.columns {
		for _, wanted := range columns {
			if c == wanted {
				places = append(places, i)
				c.reserve(room)
			}
		}
	}
	stop := make(chan struct{})
	defer close(stop)
	full, empty := r.feed(stop)
	next := 0 // the line after the last record
	for b := range full {
		start := 0
		for i, end := range b.ends {
			if line := b.lines[i]; line > r.header {
				r.skipped(places, next, line)
				if err := r.row(b.cells[start:end], line, places); err != nil {
					return err
				}
			}
			start, next = end, b.nexts[i]
		}
		if b.err != nil {
			return b.err
		}
		empty <- b
	}
	r.skipped(places, next, bytes.Count(r.text, []byte{'\n'})+1)
	return nil
}

// skipped deals with the blank lines from next to before line: in a file of one
// column each is a missing value.
func (r *rowReader) skipped(places []int, next, line int) {
	for ; next < line; next++ {
		r.blank.at(next)
		if len(r.columns) > 1 {
			continue
		}
		r.lines = append(r.lines, int32(next))
		for _, i := range places {
			r.columns[i].add("", next)
		}
	}
}

// row hands one record's cells to the columns.
func (r *rowReader) row(record []string, line int, places []int) error {
	if len(r.columns) > 1 && nothingIn(record) {
		if len(record) == 1 {
			r.blank.at(line)
		} else {
			r.emptyRows.at(line)
		}
		return nil
	}
	if len(record) > len(r.columns) {
		if !nothingIn(record[len(r.columns):]) {
			return &Error{Code: "ragged-row", Line: line,
				Detail: fmt.Sprintf("%d cells where the header has %d", len(record), len(r.columns))}
		}
		r.beyond.at(line)
	}
	if lacking := len(r.columns) - len(record); lacking > 0 {
		r.short.at(line)
		if r.filled.count += lacking; r.filled.count > 1<<20+len(r.text)/8 {
			return &Error{Code: "ragged-row", Line: line,
				Detail: fmt.Sprintf("this and %d rows before it are much shorter than the header with its %d cells", r.short.count-1, len(r.columns))}
		}
	}
	r.lines = append(r.lines, int32(line))
	for _, i := range places {
		cell := ""
		if i < len(record) {
			cell = record[i]
		}
		r.columns[i].add(cell, line)
	}
	return nil
}

func nothingIn(record []string) bool {
	for _, cell := range record {
		if trim(cell) != "" {
			return false
		}
	}
	return true
}
