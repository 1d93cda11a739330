package frames

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/bits"
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

// mostCells is how many cells a row without quotes is cut into before it is given up,
// so that a file of nothing but commas does not fill the memory.
const mostCells = 4 * mostColumns

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
	return &plainCutter{text: r.text, whole: asString(r.text), separator: r.separator, line: r.base, word: -8}
}

// asString is the text as a string without copying it; nothing writes to the bytes
// of a file once they are decoded.
func asString(text []byte) string { return unsafe.String(unsafe.SliceData(text), len(text)) }

func (b *batch) reset() {
	b.cells, b.ends, b.lines, b.nexts, b.rows = b.cells[:0], b.ends[:0], b.lines[:0], b.nexts[:0], b.rows[:0]
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
		b.ends, b.lines, b.nexts = append(b.ends, len(b.cells)), append(b.lines, q.base+line), append(b.nexts, q.base+next)
	}
	return true, nil
}

// plainCutter cuts a text without a quote at line feeds and separators. A carriage
// return before a line feed or at the end belongs to the line end, and a line with
// nothing on it is no record, as in encoding/csv.
type plainCutter struct {
	text      []byte
	whole     string // the same bytes
	separator byte
	line      int
	at        int    // where the next cell starts
	word      int    // where the eight bytes looked at last start
	stops     uint64 // the high bit of every byte among them that ends a cell, those dealt with taken off
}

func (p *plainCutter) cut(b *batch) (more bool, err error) {
	text, at, word, stops := p.text, p.at, p.word, p.stops
	cells, first := b.cells, len(b.cells)
	for more = true; more && first < batchCells; {
		for stops == 0 && word+8 < len(text) {
			word += 8
			stops = p.stopsIn(word)
		}
		end := len(text)
		if more = stops != 0; more {
			end = word + bits.TrailingZeros64(stops)/8
			stops &= stops - 1
		}
		cell := p.whole[at:end]
		at = min(end+1, len(text))
		if more && text[end] != '\n' {
			if cells = append(cells, cell); len(cells)-first > mostCells {
				return false, tooManyColumns(p.line+1, fmt.Sprintf("there are more than %d cells", mostCells))
			}
			continue
		}
		cell = strings.TrimSuffix(cell, "\r")
		p.line++
		if cell != "" || len(cells) > first {
			cells = append(cells, cell)
			first = len(cells)
			b.ends, b.lines, b.nexts = append(b.ends, first), append(b.lines, p.line), append(b.nexts, p.line+1)
		}
	}
	p.at, p.word, p.stops, b.cells = at, word, stops, cells
	return more, nil
}

// Every byte of a word with its low bit, its high bit, all but its high bit set.
const (
	lowBits  = 0x0101010101010101
	highBits = 0x8080808080808080
	restBits = highBits - lowBits
)

// stopsIn finds the separators and line feeds among the eight bytes at a place, what
// lies beyond the text being none: a byte x of a word is zero just where
// (x&0x7f)+0x7f and x leave the high bit clear (Warren, Hacker's Delight, 6-1).
func (p *plainCutter) stopsIn(at int) uint64 {
	var last [8]byte
	eight := p.text[at:]
	if len(eight) < len(last) {
		copy(last[:], eight)
		eight = last[:]
	}
	w := binary.LittleEndian.Uint64(eight)
	x, y := w^lowBits*uint64(p.separator), w^lowBits*'\n'
	return ^((x&restBits + restBits) | x | restBits) | ^((y&restBits + restBits) | y | restBits)
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
