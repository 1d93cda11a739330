package frames

import (
	"bytes"
	"context"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/go-gota/gota/series"

	"breakbook/frames/cells"
	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// errUnlike is why a look does not describe its CSV.
var errUnlike = errors.New("the look does not describe the file")

// Reopen is the frame of the two files that Write made of it, or, where there is none, the
// code of the remark that says why: look-broken or look-other-file. It looks at ctx.
func Reopen(ctx context.Context, look, csv []byte) (f *Frame, code string) {
	l, err := parseLook(look)
	if err != nil {
		return nil, "look-broken"
	}
	if l.SHA256 != SourceOf(ctx, "", csv).SHA256 {
		return nil, "look-other-file"
	}
	if f, err = l.frame(ctx, csv); err != nil {
		return nil, "look-broken"
	}
	f.understood = &Reading{Separator: "comma", Decimal: "point", Thousands: "none", Encoding: "UTF-8", HeaderLine: 1,
		Dates: notation.DateOrders[f.dates], MissingWords: slices.Clone(f.absent)}
	return f, ""
}

// frame reads the CSV that Write made with the look, to the letter: nothing is
// guessed, trimmed or taken for a missing word. Whatever of the look does not fit
// the cells is an error.
func (l *look) frame(ctx context.Context, data []byte) (*Frame, error) {
	columns, lines, err := l.cells(ctx, data)
	if err != nil {
		return nil, err
	}
	f := &Frame{at: map[string]int{}, lines: lines, decimal: l.Decimal[0], thousands: notation.PartingCalled(l.Parted),
		absent: l.Missing}
	f.dates, _ = notation.OrderCalled(l.Dates)
	for i := range l.Columns {
		h, s, err := l.Columns[i].build(columns[i])
		if err != nil {
			return nil, err
		}
		f.at[h.Name] = i
		f.held = append(f.held, h)
		f.columns = append(f.columns, s)
	}
	for _, group := range l.Aside {
		if f.aside == nil {
			f.aside = make([]string, l.Rows)
		}
		for _, row := range group.Rows {
			if row < 1 || row > l.Rows || f.aside[row-1] != "" || group.Because == "" {
				return nil, errUnlike
			}
			f.aside[row-1] = group.Because
		}
	}
	met := map[[2]any]bool{}
	for _, c := range l.Corrected {
		if _, there := f.at[c.Column]; !there || c.Row < 1 || c.Row > l.Rows || c.Was == c.Now ||
			met[[2]any{c.Row, c.Column}] {
			return nil, errUnlike
		}
		met[[2]any{c.Row, c.Column}] = true
		f.corrected = append(f.corrected, Correction{c.Row - 1, c.Column, c.Was, c.Now, c.Because})
	}
	return f, nil
}

// cells are the texts of the CSV under its header, column by column, with the line
// each row starts on.
func (l *look) cells(ctx context.Context, data []byte) (columns [][]string, lines []int32, err error) {
	if l.Rows > bytes.Count(data, []byte{'\n'}) {
		return nil, nil, errUnlike
	}
	in := cells.New(data, ',', 0)
	columns = make([][]string, len(l.Columns))
	for i := range columns {
		columns[i] = make([]string, 0, l.Rows)
	}
	header := true
	for b, more := (&cells.Batch{}), true; more; b.Reset() {
		parallel.Look(ctx)
		if more, err = in.Cut(b); err != nil {
			return nil, nil, err
		}
		start := 0
		for r, end := range b.Ends {
			record := b.Cells[start:end]
			if start = end; len(record) != len(columns) {
				return nil, nil, errUnlike
			}
			if header {
				header = false
				continue
			}
			lines = append(lines, int32(b.Lines[r]))
			for i, cell := range record {
				columns[i] = append(columns[i], cell)
			}
		}
	}
	if len(lines) != l.Rows {
		return nil, nil, errUnlike
	}
	return columns, lines, nil
}

func (c *lookColumn) build(cells []string) (held, series.Series, error) {
	kind, _ := kindCalled(c.Kind)
	u, _ := units.Parse(c.Unit)
	h := held{Column: Column{Name: c.Name, Label: c.Label, Header: c.Header, Kind: kind, Unit: u, Role: c.Role,
		Difference: c.Apart, Step: c.Step, Made: c.Made, From: c.From, Adjusted: c.Adjusted}}
	if kind == Number {
		s, err := h.takeNumbers(cells)
		return h, s, err
	}
	missing := lists.Mapped(cells, func(cell string) bool { return cell == "" })
	for _, row := range c.Escaped {
		if row < 1 || row > len(cells) || !strings.HasPrefix(cells[row-1], "'") {
			return h, series.Series{}, errUnlike
		}
		cells[row-1] = cells[row-1][1:]
	}
	for _, exact := range c.Exact {
		if exact.Row < 1 || exact.Row > len(cells) ||
			cells[exact.Row-1] != strings.ReplaceAll(exact.Text, "\r\n", "\n") {
			return h, series.Series{}, errUnlike
		}
		cells[exact.Row-1], missing[exact.Row-1] = exact.Text, false
	}
	if slices.Contains(missing, true) {
		h.missing = missing
	}
	if kind == Text {
		return h, series.New(cells, series.String, h.Name), nil
	}
	s, err := h.takeLevels(cells, c.Levels)
	return h, s, err
}

func (h *held) takeNumbers(cells []string) (series.Series, error) {
	values := make([]float64, len(cells))
	for row, cell := range cells {
		if cell == "" {
			if h.missing == nil {
				h.missing = make([]bool, len(cells))
			}
			values[row], h.missing[row] = math.NaN(), true
			continue
		}
		x, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			return series.Series{}, errUnlike
		}
		values[row] = x
	}
	return series.New(values, series.Float, h.Name), nil
}

func (h *held) takeLevels(cells, levels []string) (series.Series, error) {
	code := make(map[string]int, len(levels))
	for i, level := range levels {
		code[level] = i
	}
	codes := make([]int, len(cells))
	for row, cell := range cells {
		if codes[row] = -1; h.gone(row) {
			continue
		}
		i, ok := code[cell]
		if !ok {
			return series.Series{}, errUnlike
		}
		codes[row] = i
	}
	h.words = levels
	h.setOrder(levels)
	return series.New(codes, series.Int, h.Name), nil
}
