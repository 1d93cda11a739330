package reading

import (
	"context"
	"fmt"
	"strings"

	"breakbook/frames"
	"breakbook/frames/cells"
	"breakbook/frames/notation"
	"breakbook/frames/reading/decoding"
	"breakbook/models/parallel"
)

// rowReader goes through a file's records and hands the cells to the columns.
type rowReader struct {
	from      source // the header on
	separator byte
	units     int // the line that holds only units, 0 for none
	header    int // its line
	headless  int // how many columns there are where there is no header, 0 where there is one
	columns   []*columnReader
	lines     []int32

	blank, emptyRows, short, beyond, filled decoding.Odd
}

// names reads the header: the first line with anything on it. Where there is none, no column has a name.
func (r *rowReader) names() ([]string, error) {
	if r.headless > frames.MostColumns {
		return nil, tooManyColumns(1, fmt.Sprintf("the first lines have up to %d cells", r.headless))
	}
	if r.headless > 0 {
		return make([]string, max(r.headless, r.from.width())), nil
	}
	var b batch
	for in := r.from.cutter(r.separator, false); ; b.reset() {
		more, err := in.Cut(&b.Batch)
		start := 0
		for i, end := range b.Ends {
			record := b.Cells[start:end]
			if start = end; len(record) == 1 && notation.Trim(record[0]) == "" {
				continue
			}
			r.header = b.Lines[i]
			if len(record) > frames.MostColumns {
				return nil, tooManyColumns(r.header, fmt.Sprintf("the header has %d cells", len(record)))
			}
			names := make([]string, max(len(record), r.from.width()))
			for i, cell := range record {
				names[i] = strings.ToValidUTF8(cell, "\ufffd")
			}
			return names, nil
		}
		if err != nil {
			return nil, uncut(err, unnamed)
		}
		if !more {
			return nil, &frames.Error{Code: "empty-file", Detail: "there is nothing in it"}
		}
	}
}

// nameOf is the column of a cell, counted from 1.
func (r *rowReader) nameOf(cell int) string {
	if cell > len(r.columns) {
		return ""
	}
	return r.columns[cell-1].Name
}

// roundBatches is how many batches are cut while as many are typed.
const roundBatches = 8

// pass reads every row into the columns given. Cutting and typing go on side by side:
// while one round of batches is cut, the one before is typed, a column on one core, in
// the order of the file.
func (r *rowReader) pass(ctx context.Context, columns []*columnReader) error {
	room := r.from.room(len(r.columns))
	if err := roomFor(r.from.bytes(), room, len(r.columns)); err != nil {
		return err
	}
	r.lines = make([]int32, 0, room)
	for _, odd := range []*decoding.Odd{&r.blank, &r.emptyRows, &r.short, &r.beyond, &r.filled} {
		*odd = decoding.Odd{}
	}
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
	in := &handler{rowReader: r, in: r.from.cutter(r.separator, false), more: true}
	if text, ok := in.in.(*cells.Cutter); ok {
		text.Views = true
	}
	var cut, typed []*batch
	for in.more || len(typed) > 0 {
		next := cut
		err := parallel.Each(ctx, len(places)+1, func(_ context.Context, i int) error {
			if i == 0 {
				var err error
				next, err = in.round(cut)
				return err
			}
			place := places[i-1]
			for _, b := range typed {
				r.columns[place].take(b, place)
			}
			return nil
		})
		if err != nil {
			return err
		}
		cut, typed = typed, next
	}
	return nil
}

// handler cuts the file into batches and finds the specimens in each.
type handler struct {
	*rowReader
	in   cutter
	more bool // there may be records left
	next int  // the line after the last record
}

// round cuts the next batches, into the room of earlier ones.
func (h *handler) round(room []*batch) ([]*batch, error) {
	used := 0
	for ; h.more && used < roundBatches; used++ {
		if used == len(room) {
			room = append(room, &batch{})
		}
		room[used].reset()
		if err := h.batch(room[used]); err != nil {
			return nil, err
		}
	}
	return room[:used], nil
}

func (h *handler) batch(b *batch) error {
	var uncuttable error
	h.more, uncuttable = h.in.Cut(&b.Batch)
	start := 0
	for i, end := range b.Ends {
		if line := b.Lines[i]; line > h.header {
			h.skipped(b, h.next, line)
			if err := h.row(b, start, end, line); err != nil {
				return err
			}
		}
		start, h.next = end, b.Nexts[i]
	}
	if uncuttable != nil {
		return uncut(uncuttable, h.nameOf)
	}
	if !h.more {
		h.skipped(b, h.next, h.from.after())
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
		r.blank.At(next)
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
	has := end - start
	if len(r.columns) > 1 && b.blank(start, end) {
		if has == 1 {
			r.blank.At(line)
		} else {
			r.emptyRows.At(line)
		}
		return nil
	}
	if has > len(r.columns) {
		if !b.blank(start+len(r.columns), end) {
			whose := "the header has"
			if r.headless > 0 {
				whose = "the first lines have at most"
			}
			return &frames.Error{Code: "ragged-row", Line: line, Hint: r.raggedHint(),
				Detail: fmt.Sprintf("%d cells where %s %d", has, whose, len(r.columns))}
		}
		r.beyond.At(line)
	}
	if lacking := len(r.columns) - has; lacking > 0 && r.separator != sheetSeparator {
		r.short.At(line)
		if r.filled.Count += lacking; r.filled.Count > 1<<20+r.from.bytes()/8 {
			return &frames.Error{Code: "ragged-row", Line: line, Hint: r.raggedHint(),
				Detail: fmt.Sprintf("this and %d rows before it are much shorter than the header with its %d cells",
					r.short.Count-1, len(r.columns))}
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
