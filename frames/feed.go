package frames

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
)

// batch is some records one after another: record i is cells[ends[i-1]:ends[i]].
type batch struct {
	cells []string
	ends  []int
	lines []int // where each record starts
	nexts []int // the line after it
	err   error // what ended the file, if not its end
}

// batchCells is how many cells a batch holds before it is handed on.
const batchCells = 4096

// csv is a tokenizer at the start of the file.
func (r *rowReader) csv() *csv.Reader {
	c := csv.NewReader(bytes.NewReader(r.text))
	c.Comma, c.FieldsPerRecord, c.ReuseRecord = rune(r.separator), -1, true
	return c
}

// feed cuts the file into records on a goroutine of its own, so that cutting and
// typing go on side by side; the order is the file's. It ends when stop is closed.
func (r *rowReader) feed(stop <-chan struct{}) (full <-chan *batch, empty chan<- *batch) {
	out, back := make(chan *batch, 2), make(chan *batch, 3)
	for range cap(back) {
		back <- &batch{}
	}
	go func() {
		defer close(out)
		in := r.csv()
		for {
			var b *batch
			select {
			case b = <-back:
			case <-stop:
				return
			}
			more := r.fillBatch(b, in)
			select {
			case out <- b:
			case <-stop:
				return
			}
			if !more {
				return
			}
		}
	}()
	return out, back
}

// fillBatch reads records until the batch is full; false at the end of the file.
func (r *rowReader) fillBatch(b *batch, in *csv.Reader) bool {
	b.cells, b.ends, b.lines, b.nexts = b.cells[:0], b.ends[:0], b.lines[:0], b.nexts[:0]
	for len(b.cells) < batchCells {
		record, err := in.Read()
		if err != nil {
			if !errors.Is(err, io.EOF) {
				b.err = csvError(err)
			}
			return false
		}
		line, _ := in.FieldPos(0)
		next := line + 1
		if r.quoted {
			for _, cell := range record {
				next += strings.Count(cell, "\n")
			}
		}
		b.cells = append(b.cells, record...)
		b.ends = append(b.ends, len(b.cells))
		b.lines = append(b.lines, line)
		b.nexts = append(b.nexts, next)
	}
	return true
}

func csvError(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return &Error{Code: "broken-quote", Line: p.StartLine, Detail: "its quotes do not match up", Err: err}
	}
	return &Error{Code: "unreadable", Detail: "it cannot be read", Err: err}
}
