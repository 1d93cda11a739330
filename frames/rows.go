package frames

import (
	"bytes"
	"fmt"
	"strings"
	"sync"
)

// mostColumns is as wide as a spreadsheet gets.
const mostColumns = 16384

// rowReader goes through a file's records and hands the cells to the columns.
type rowReader struct {
	text      []byte // from the header on
	base      int    // the lines before that
	separator byte
	quoted    bool // there are quotes in it
	units     int  // the line that holds only units, 0 for none
	header    int  // its line
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
	var b batch
	for cutter := r.cutter(); ; b.reset() {
		more, err := cutter.cut(&b)
		start := 0
		for i, end := range b.ends {
			record := b.cells[start:end]
			if start = end; len(record) == 1 && trim(record[0]) == "" {
				continue
			}
			r.header = b.lines[i]
			if len(record) > mostColumns {
				return nil, tooManyColumns(r.header, fmt.Sprintf("the header has %d cells", len(record)))
			}
			names := make([]string, len(record))
			for i, cell := range record {
				names[i] = strings.ToValidUTF8(strings.Clone(cell), "\ufffd")
			}
			return names, nil
		}
		if err != nil {
			return nil, err
		}
		if !more {
			return nil, &Error{Code: "empty-file", Detail: "there is nothing in it"}
		}
	}
}

// tooManyColumns refuses a row, the header or another.
func tooManyColumns(line int, what string) error {
	return &Error{Code: "too-many-columns", Line: line, Hint: "say what separates the cells: separated by tab",
		Detail: fmt.Sprintf("%s; a series has at most %d columns", what, mostColumns)}
}

// mostTeams is how many goroutines share the typing of the columns.
const mostTeams = 8

// pass reads every row into the columns given. Cutting and typing go on side by
// side: every column is typed by one goroutine, in the order of the file.
func (r *rowReader) pass(columns []*columnReader) error {
	room := min(bytes.Count(r.text, []byte{'\n'})+1, len(r.text)/len(r.columns)+1)
	r.lines = make([]int32, 0, room)
	r.blank, r.emptyRows, r.short, r.beyond, r.filled = happening{}, happening{}, happening{}, happening{}, happening{}
	wanted := make(map[*columnReader]bool, len(columns))
	for _, c := range columns {
		wanted[c] = true
	}
	var places []int
	for i, c := range r.columns {
		if wanted[c] {
			places = append(places, i)
			c.reserve(room)
		}
	}
	teams := make([]chan *batch, min(len(places), mostTeams))
	free := make(chan *batch, 4)
	for range cap(free) {
		free <- &batch{cells: make([]string, 0, min(batchCells+len(r.columns), len(r.text)+1))}
	}
	var typing sync.WaitGroup
	var safe guard
	for i := range teams {
		teams[i] = make(chan *batch, cap(free))
		typing.Go(func() {
			for b := range teams[i] {
				safe.do(func() {
					for k := i; k < len(places); k += len(teams) {
						r.columns[places[k]].take(b, places[k])
					}
				})
				if b.teams.Add(-1) == 0 {
					free <- b
				}
			}
		})
	}
	err := r.handOut(free, func(b *batch) {
		b.teams.Store(int32(len(teams)))
		for _, team := range teams {
			team <- b
		}
	})
	for _, team := range teams {
		close(team)
	}
	typing.Wait()
	safe.check()
	return err
}

// handOut cuts the file into batches, finds the specimens in each and hands it on.
func (r *rowReader) handOut(free <-chan *batch, hand func(*batch)) error {
	in := r.cutter()
	next := 0 // the line after the last record
	for more := true; more; {
		b := <-free
		b.reset()
		var err error
		if more, err = in.cut(b); err != nil {
			return err
		}
		start := 0
		for i, end := range b.ends {
			if line := b.lines[i]; line > r.header {
				r.skipped(b, next, line)
				if err := r.row(b, start, end, line); err != nil {
					return err
				}
			}
			start, next = end, b.nexts[i]
		}
		if !more {
			r.skipped(b, next, r.base+bytes.Count(r.text, []byte{'\n'})+1)
		}
		hand(b)
	}
	return nil
}

// skipped deals with the blank lines from next to before line: in a file of one
// column each is a missing value.
func (r *rowReader) skipped(b *batch, next, line int) {
	for ; next < line; next++ {
		if next == r.units {
			continue
		}
		r.blank.at(next)
		if len(r.columns) == 1 {
			r.lines = append(r.lines, int32(next))
			b.rows = append(b.rows, row{line: next})
		}
	}
}

// row takes one record for a specimen, unless there is nothing in it.
func (r *rowReader) row(b *batch, start, end, line int) error {
	if line == r.units {
		return nil
	}
	record := b.cells[start:end]
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
			return &Error{Code: "ragged-row", Line: line, Hint: r.raggedHint(),
				Detail: fmt.Sprintf("%d cells where the header has %d", len(record), len(r.columns))}
		}
		r.beyond.at(line)
	}
	if lacking := len(r.columns) - len(record); lacking > 0 {
		r.short.at(line)
		if r.filled.count += lacking; r.filled.count > 1<<20+len(r.text)/8 {
			return &Error{Code: "ragged-row", Line: line, Hint: r.raggedHint(),
				Detail: fmt.Sprintf("this and %d rows before it are much shorter than the header with its %d cells", r.short.count-1, len(r.columns))}
		}
	}
	r.lines = append(r.lines, int32(line))
	b.rows = append(b.rows, row{start, end, line})
	return nil
}

// raggedHint is the way out of rows that do not fit the header.
func (r *rowReader) raggedHint() string {
	name := separatorName(r.separator)
	if name == "tab" {
		return "if the header is in another line, open it with header row N"
	}
	return "put a cell that holds a " + name + " in quotes, or open it with header row N"
}

func nothingIn(record []string) bool {
	for _, cell := range record {
		if trim(cell) != "" {
			return false
		}
	}
	return true
}
