package frames

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"sync/atomic"
	"unsafe"
)

// batch is some records one after another: record i is cells[ends[i-1]:ends[i]]. The
// cells are parts of larger texts, so what keeps a few of many clones them.
type batch struct {
	cells []string
	ends  []int
	lines []int // where each record starts
	nexts []int // the line after it
	rows  []row // the specimens among the records

	teams atomic.Int32 // how many have still to type it
}

// row is one specimen's cells: cells[start:end] of its batch.
type row struct{ start, end, line int }

// batchCells is how many cells a batch holds before it is handed on.
const batchCells = 4096

// cutter cuts a file into records, a batch at a time.
type cutter interface {
	// cut fills the batch; false at the end of the file.
	cut(b *batch) (more bool, err error)
}

// cutter is a tokenizer at the start of the text: encoding/csv where there are
// quotes, and where there are none one that gives the same records without copying.
func (r *rowReader) cutter() cutter {
	if r.quoted {
		c := csv.NewReader(bytes.NewReader(r.text))
		c.Comma, c.FieldsPerRecord, c.ReuseRecord = rune(r.separator), -1, true
		return &quotedCutter{in: c, base: r.base}
	}
	return &plainCutter{rest: asString(r.text), separator: r.separator, line: r.base}
}

// asString is the text as a string without copying it; nothing writes to the bytes
// of a file once they are decoded.
func asString(text []byte) string { return unsafe.String(unsafe.SliceData(text), len(text)) }

func (b *batch) reset() {
	b.cells, b.ends, b.lines, b.nexts, b.rows = b.cells[:0], b.ends[:0], b.lines[:0], b.nexts[:0], b.rows[:0]
}

func (b *batch) end(line, next int) {
	b.ends = append(b.ends, len(b.cells))
	b.lines = append(b.lines, line)
	b.nexts = append(b.nexts, next)
}

// quotedCutter leaves the work to encoding/csv.
type quotedCutter struct {
	in   *csv.Reader
	base int
}

func (q *quotedCutter) cut(b *batch) (more bool, err error) {
	for len(b.cells) < batchCells {
		record, err := q.in.Read()
		if err != nil {
			if errors.Is(err, io.EOF) {
				return false, nil
			}
			return false, csvError(err, q.base)
		}
		line, _ := q.in.FieldPos(0)
		next := line + 1
		for _, cell := range record {
			next += strings.Count(cell, "\n")
		}
		b.cells = append(b.cells, record...)
		b.end(q.base+line, q.base+next)
	}
	return true, nil
}

// plainCutter cuts a text without a quote at line feeds and separators. A carriage
// return before a line feed or at the end belongs to the line end, and a line with
// nothing on it is no record, as in encoding/csv.
type plainCutter struct {
	rest      string
	separator byte
	line      int
}

func (p *plainCutter) cut(b *batch) (more bool, err error) {
	for len(b.cells) < batchCells {
		if p.rest == "" {
			return false, nil
		}
		line := p.rest
		if end := strings.IndexByte(line, '\n'); end >= 0 {
			line, p.rest = line[:end], line[end+1:]
		} else {
			p.rest = ""
		}
		p.line++
		if n := len(line); n > 0 && line[n-1] == '\r' {
			line = line[:n-1]
		}
		if line == "" {
			continue
		}
		for {
			end := strings.IndexByte(line, p.separator)
			if end < 0 {
				break
			}
			b.cells = append(b.cells, line[:end])
			line = line[end+1:]
		}
		b.cells = append(b.cells, line)
		b.end(p.line, p.line+1)
	}
	return true, nil
}

func csvError(err error, base int) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return &Error{Code: "broken-quote", Line: base + p.StartLine, Detail: "its quotes do not match up", Hint: quoteHint, Err: err}
	}
	return &Error{Code: "unreadable", Detail: "it cannot be read", Err: err}
}

// quoteHint is the way out of quotes that do not match up.
const quoteHint = "put the whole cell in quotes and double every quote inside it"
