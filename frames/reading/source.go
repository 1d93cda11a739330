package reading

import (
	"bytes"
	"fmt"

	"breakbook/frames"
	"breakbook/frames/cells"
	"breakbook/frames/workbook"
)

// source is a table on its way in, whose records are cut one batch after another.
type source interface {
	// cutter goes through the records from the first on; a lax one takes quotes as they come.
	cutter(separator byte, lax bool) cutter
	// separators are the marks that may part the cells, the likelier first.
	separators() []byte
	// head is enough of it for a first look.
	head() source
	// from is the part from a line on, and only that line of it. A line that is not there is
	// an *Error; what is the option that asks for it.
	from(line int, what string) (source, error)
	only(line int, what string) (source, error)
	// room is how many rows of so many columns there are at most.
	room(columns int) int
	// bytes is how long the cells are.
	bytes() int
	// after is the line behind the last.
	after() int
	// width is how many columns a header has at least.
	width() int
}

// cutter is a *cells.Cutter or one like it.
type cutter interface {
	Cut(b *cells.Batch) (more bool, err error)
}

// lines is a text, of which so many lines stand above.
type lines struct {
	text  []byte
	above int
}

func (l lines) cutter(separator byte, lax bool) cutter {
	c := cells.New(l.text, separator, l.above)
	c.Lax = lax
	return c
}

func (l lines) separators() []byte {
	var out []byte
	for _, s := range separators {
		if s.mark == ',' || bytes.IndexByte(l.head().(lines).text, s.mark) >= 0 {
			out = append(out, s.mark)
		}
	}
	return out
}

func (l lines) head() source {
	if len(l.text) > sampleBytes {
		l.text = l.text[:sampleBytes]
		if end := bytes.LastIndexByte(l.text, '\n'); end > 0 {
			l.text = l.text[:end]
		}
	}
	return l
}

func (l lines) from(line int, what string) (source, error) {
	for ; l.above+1 < line; l.above++ {
		end := bytes.IndexByte(l.text, '\n')
		if end < 0 || end+1 == len(l.text) {
			return nil, noLine(line, l.above+1, what)
		}
		l.text = l.text[end+1:]
	}
	if len(bytes.TrimSpace(l.first())) == 0 {
		return nil, blankLine(line, what)
	}
	return l, nil
}

func (l lines) only(line int, what string) (source, error) {
	s, err := l.from(line, what)
	if err != nil {
		return nil, err
	}
	l = s.(lines)
	l.text = l.first()
	return l, nil
}

func (l lines) first() []byte {
	first, _, _ := bytes.Cut(l.text, []byte{'\n'})
	return first
}

func (l lines) room(columns int) int {
	return min(bytes.Count(l.text, []byte{'\n'})+1, len(l.text)/columns+1)
}

func (l lines) bytes() int { return len(l.text) }

func (l lines) after() int { return l.above + bytes.Count(l.text, []byte{'\n'}) + 1 }

func (l lines) width() int { return 0 }

func noLine(line, has int, what string) error {
	return &frames.Error{Code: "bad-override", Line: line, Hint: what + " 1",
		Detail: fmt.Sprintf("there is no such line, the file has %d", has)}
}

func blankLine(line int, what string) error {
	return &frames.Error{Code: "bad-override", Line: line, Detail: "there is nothing in this line", Hint: what + " 1"}
}

// sheetRows is a sheet of a workbook from a row on. Its rows are the lines of the table.
type sheetRows struct {
	*workbook.Table
	row  int
	last int // of its rows
}

func (s sheetRows) cutter(byte, bool) cutter { return s.Between(s.row, s.last) }

// sheetSeparator stands for the mark between cells where they are not parted by any.
const sheetSeparator = 0x1f

func (s sheetRows) separators() []byte { return []byte{sheetSeparator} }

func (s sheetRows) head() source { return s }

func (s sheetRows) from(line int, what string) (source, error) {
	if line > s.last {
		return nil, noLine(line, s.last, what)
	}
	s.row = line
	if !s.Holds(line) {
		return nil, blankLine(line, what)
	}
	return s, nil
}

func (s sheetRows) only(line int, what string) (source, error) {
	rest, err := s.from(line, what)
	if err != nil {
		return nil, err
	}
	s = rest.(sheetRows)
	s.last = line
	return s, nil
}

func (s sheetRows) room(int) int { return s.last - s.row + 1 }

func (s sheetRows) bytes() int { return s.Bytes() }

func (s sheetRows) after() int { return s.last + 1 }

func (s sheetRows) width() int { return s.Width }
