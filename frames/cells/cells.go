// Package cells cuts the text of a table into records and cells. In come the bytes of
// a text in UTF-8 (or anything like it, byte by byte) and the mark between its cells;
// out come batches of records, each with the lines it stands on. Quotes are taken as
// RFC 4180 has them, with three liberties that files take: blanks around a quoted cell,
// an inch mark after a number (34"), and CR LF or LF as line end.
package cells

import (
	"bytes"
	"encoding/binary"
	"math/bits"
)

// What is longer is an *Error: a text that has lost a quote, or that is no table.
const (
	MostBytes = 1 << 20 // in a cell
	MostCells = 1 << 16 // in a record
)

// Fault is what is wrong with a record.
type Fault uint8

const (
	NeverClosed   Fault = iota // a quote was opened at Line and never closed
	AfterQuote                 // text stands after a closing quote
	InsideCell                 // a quote stands inside a cell that does not start with one
	CellTooLong                // the cell has more than MostBytes
	RecordTooLong              // the record has more than MostCells cells
)

// Error is a record that cannot be cut.
type Error struct {
	Fault Fault
	Line  int
	Cell  int // which of the record, from 1
}

func (e *Error) Error() string {
	return [...]string{"the quote opened here is never closed", "there is text after a closing quote",
		"a quote stands inside a cell that does not start with one", "a cell is too long",
		"there are too many cells"}[e.Fault]
}

// Batch is some records one after another: record i is Cells[Ends[i-1]:Ends[i]].
type Batch struct {
	Cells []string
	Views [][]byte // in place of Cells, of a Cutter that gives views
	Ends  []int
	Lines []int // where each record starts
	Nexts []int // the line after it
}

// Reset empties the batch and keeps its room.
func (b *Batch) Reset() {
	b.Cells, b.Views, b.Ends, b.Lines, b.Nexts = b.Cells[:0], b.Views[:0], b.Ends[:0], b.Lines[:0], b.Nexts[:0]
}

// Cutter goes through a text once, from start to end. A line with nothing on it is no
// record. Nothing may write to the text meanwhile.
type Cutter struct {
	Lax   bool // quotes that do not match up are taken as they come, for a first look
	Views bool // cells are parts of the text itself, not strings of their own

	text      []byte
	separator byte
	quoted    bool // there is a quote in the text
	line      int  // of the text's place at
	at        int
	inQuotes  bool // the last cell was a quoted one
}

// New is a cutter for a text whose first line is line base+1.
func New(text []byte, separator byte, base int) *Cutter {
	return &Cutter{text: text, separator: separator, quoted: bytes.IndexByte(text, '"') >= 0, line: base + 1}
}

// pieceBytes is about how long the text of a batch is.
const pieceBytes = 16 << 10

// Cut adds the next records to a batch, at least one where there is one, and tells
// whether there may be more. What cannot be cut is an *Error, beside the records
// before it.
func (c *Cutter) Cut(b *Batch) (more bool, err error) {
	for size := pieceBytes; c.at < len(c.text); size *= 2 {
		to := len(c.text)
		if c.at+size < to {
			to = c.at + size
			if end := bytes.LastIndexByte(c.text[c.at:to], '\n'); end >= 0 {
				to = c.at + end + 1
			}
		}
		before, from := len(b.Ends), c.at
		if err := c.cut(b, to); err != nil {
			return false, err
		}
		if len(b.Ends) > before {
			break
		}
		if c.at > from {
			size = pieceBytes / 2 // there were only blank lines
		}
	}
	return c.at < len(c.text), nil
}

// cut adds the records that end before a place in the text, and leaves a last one that
// does not for the next time.
func (c *Cutter) cut(b *Batch, to int) error {
	text := c.text
	word, stops := c.stopFrom(c.at)
	cells, before, at, line := b.Views, 0, c.at, c.line
	if !c.Views {
		cells, before = cells[:0], len(b.Cells)
	}
	first := len(cells)
	last := to == len(text)
	var fault error
	for at < to {
		for stops == 0 && word+8 < to {
			word += 8
			stops = c.stopsIn(word)
		}
		end, mark := to, byte('\n')
		if stops != 0 {
			if place := word + bits.TrailingZeros64(stops)/8; place < to {
				end, mark = place, text[place]
				stops &= stops - 1
			}
		}
		cell, quoted := text[at:end:end], mark == '"'
		if quoted {
			if cell, end, fault = c.odd(at, end, to, &line); fault != nil {
				fault.(*Error).Cell = len(cells) - first + 1
				break
			}
			if mark = '\n'; end < to {
				mark = text[end]
				word, stops = c.stopFrom(end + 1)
			}
		}
		if end-at > MostBytes || len(cells)-first >= MostCells {
			fault = c.refused(end-at > MostBytes, len(cells)-first+1)
			break
		}
		if end == to && !last {
			break // it goes on in the next piece
		}
		at = min(end+1, len(text))
		if mark != '\n' {
			cells = append(cells, cell)
			if at < to {
				continue
			}
			if !last {
				break
			}
			cell = nil // a separator is the last there is
		}
		if !quoted {
			cell = bytes.TrimSuffix(cell, carriageReturn)
		}
		line++
		if len(cell) > 0 || len(cells) > first || quoted && c.inQuotes {
			cells = append(cells, cell)
			first = len(cells)
			b.Ends, b.Lines, b.Nexts = append(b.Ends, before+first), append(b.Lines, c.line), append(b.Nexts, line)
		}
		c.at, c.line = at, line
	}
	if b.Views = cells[:first]; c.Views {
		return fault
	}
	for _, cell := range b.Views {
		b.Cells = append(b.Cells, string(cell))
	}
	b.Views = b.Views[:0]
	return fault
}

var carriageReturn = []byte{'\r'}

func (c *Cutter) refused(long bool, cell int) error {
	fault := RecordTooLong
	if long {
		fault = CellTooLong
	}
	return &Error{Fault: fault, Line: c.line, Cell: cell}
}

// stopFrom finds the stops from a place on among the eight bytes round it.
func (c *Cutter) stopFrom(at int) (word int, stops uint64) {
	word = at &^ 7
	return word, c.stopsIn(word) & (^uint64(0) << (8 * (at - word)))
}

// Every byte of a word with its low bit, its high bit, all but its high bit set.
const (
	lowBits  = 0x0101010101010101
	highBits = 0x8080808080808080
	restBits = highBits - lowBits
)

// stopsIn finds the separators, line feeds and quotes among the eight bytes at a place,
// what lies beyond the text being none, by the high bit of each: a byte x of a word is zero just where
// (x&0x7f)+0x7f and x leave the high bit clear (Warren, Hacker's Delight, 6-1).
func (c *Cutter) stopsIn(at int) uint64 {
	var w uint64
	if at+8 <= len(c.text) {
		w = binary.LittleEndian.Uint64(c.text[at:])
	} else {
		var rest [8]byte
		copy(rest[:], c.text[min(at, len(c.text)):])
		w = binary.LittleEndian.Uint64(rest[:])
	}
	x, y := w^lowBits*uint64(c.separator), w^lowBits*'\n'
	stops := ^((x&restBits + restBits) | x | restBits) | ^((y&restBits + restBits) | y | restBits)
	if c.quoted {
		z := w ^ lowBits*'"'
		stops |= ^((z&restBits + restBits) | z | restBits)
	}
	return stops
}
