package frames

import (
	"math"
	"slices"
	"sync"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"
)

// assemble hands the columns to gota, side by side, and builds the frame around them.
func (t *table) assemble(reading *Reading) *Frame {
	columns := t.rows.columns
	f := &Frame{at: map[string]int{}, lines: t.rows.lines, decimal: t.notation.decimal, thousands: t.notation.thousands, absent: reading.MissingWords,
		dates: t.dates, understood: reading, held: make([]held, len(columns))}
	all := make([]series.Series, len(columns))
	zeros := make([]int, f.Len()) // shared by the number columns
	next := make(chan int, len(columns))
	for i, c := range columns {
		f.at[c.Name] = i
		next <- i
	}
	close(next)
	var building sync.WaitGroup
	var safe guard
	for range min(len(columns), mostTeams) {
		building.Go(func() {
			for i := range next {
				safe.do(func() { f.held[i], all[i] = columns[i].build(f, zeros) })
			}
		})
	}
	building.Wait()
	safe.check()
	f.df = dataframe.New(all...)
	return f
}

// build makes a column's gota series and what stands beside it.
func (c *columnReader) build(f *Frame, zeros []int) (held, series.Series) {
	h := held{Column: c.Column}
	var s series.Series
	switch h.Kind {
	case Number:
		h.missing = c.missing(f.Len(), func(row int) bool { return math.IsNaN(c.values[row]) })
		s = numberSeries(c.values, zeros, h.Name)
	case Category:
		h.missing = c.missing(f.Len(), func(row int) bool { return c.codes[row] < 0 })
		h.words = c.list
		h.setOrder(f.naturally(c.list))
		s = codeSeries(c.codes, len(c.list), h.Name)
	default:
		h.missing = c.missing(f.Len(), c.textMissing)
		s = series.New(c.allTexts(f.Len()), series.String, h.Name)
	}
	c.values, c.codes, c.texts = nil, nil, nil
	return h, s
}

// numberSeries is the gota series of the values: a copy of one element for each,
// picked by zeros (one 0 a value), then set. series.New would put every value on the
// heap on its own.
func numberSeries(values []float64, zeros []int, name string) series.Series {
	s := series.New([]float64{0}, series.Float, name).Subset(zeros)
	var e element
	for i, x := range values {
		e.x = x
		s.Elem(i).Set(&e)
	}
	return s
}

// element carries a number into gota.
type element struct {
	series.Element
	x float64
}

func (e *element) Float() float64 { return e.x }

// codeSeries is the gota series of codes from -1 to words-1: picked out of one of
// every code, which spares gota a value in an interface for every cell. It uses up
// codes.
func codeSeries(codes []int, words int, name string) series.Series {
	every := make([]int, words+1)
	for i := range every {
		every[i] = i - 1
	}
	for i := range codes {
		codes[i]++
	}
	return series.New(every, series.Int, name).Subset(codes)
}

// missing is the mask of the rows without a value, nil where there is none.
func (c *columnReader) missing(rows int, gone func(row int) bool) []bool {
	if c.present == rows {
		return nil
	}
	mask := make([]bool, rows)
	for row := range mask {
		mask[row] = gone(row)
	}
	return mask
}

func (c *columnReader) textMissing(row int) bool {
	switch c.mode {
	case numbers:
		return math.IsNaN(c.values[row])
	case words:
		return c.codes[row] < 0
	}
	return c.gone != nil && c.gone[row]
}

// allTexts are the cells of a text column, "" where missing.
func (c *columnReader) allTexts(rows int) []string {
	if c.mode == texts {
		return c.texts
	}
	cells := make([]string, rows)
	for row := range cells {
		if c.mode == words && c.codes[row] >= 0 {
			cells[row] = c.list[c.codes[row]]
		}
	}
	return cells
}

// settleKinds lets a role decide where the cells do not: a failure mode is a
// category even when none repeats, a specimen's name is text even when one does.
func settleKinds(columns []*columnReader) {
	for _, c := range columns {
		switch {
		case c.Role == Failure && (c.mode == words || c.present == 0):
			c.Kind = Category
			if c.mode == numbers { // nothing in it
				c.mode, c.codes = words, slices.Repeat([]int{-1}, len(c.values))
			}
		case c.Role == Specimen && c.mode == words:
			c.Kind = Text
		}
	}
}
