package frames

import (
	"slices"

	"github.com/go-gota/gota/series"

	"breakbook/frames/units"
)

// cells goes through the cells of a column in every part, as words in the one unit.
func (p *pooling) cells(h *held, do func(part, row int, cell string, present bool)) {
	total := 0
	var mask []bool
	for i, part := range p.parts {
		f := part.Frame
		c, has := f.at[h.Name]
		for row := range f.Len() {
			cell, present := "", false
			if has && !f.held[c].gone(row) {
				cell, present = f.inUnit(c, f.cell(c, row), h.Unit), true
			}
			do(i, row, cell, present)
			mask = append(mask, !present)
		}
		total += f.Len()
	}
	h.missing = maskOf(total, func(row int) bool { return mask[row] })
}

// inUnit is a word as it reads in another unit, where it is a number.
func (f *Frame) inUnit(column int, word string, u units.Unit) string {
	own := f.held[column].Unit
	if own.None() || own == u {
		return word
	}
	a, ok := f.amountIn(word)
	if !ok {
		return word
	}
	if a.unit.None() {
		a.unit = own
	}
	x, err := a.in(u)
	if err != nil {
		return word
	}
	return shortest(x)
}

func (p *pooling) texts(h *held) []series.Series {
	h.words, h.place = nil, nil
	texts := make([][]string, len(p.parts))
	p.cells(h, func(part, _ int, cell string, _ bool) { texts[part] = append(texts[part], cell) })
	each := make([]series.Series, len(p.parts))
	for i := range each {
		each[i] = series.New(texts[i], series.String, h.Name)
	}
	return each
}

// words gives the words of all parts one set of codes, and settles the levels' order.
func (p *pooling) words(h *held) []series.Series {
	codes := make([][]int, len(p.parts))
	seen := map[string]int{}
	h.words = nil
	p.cells(h, func(part, _ int, cell string, present bool) {
		code := -1
		if present {
			var met bool
			if code, met = seen[cell]; !met {
				code = len(h.words)
				seen[cell], h.words = code, append(h.words, cell)
			}
		}
		codes[part] = append(codes[part], code)
	})
	h.setOrder(p.order(h))
	each := make([]series.Series, len(p.parts))
	for i := range each {
		each[i] = series.New(codes[i], series.Int, h.Name)
	}
	return each
}

// order is natural where it was in every part, else that of the parts one after another.
func (p *pooling) order(h *held) []string {
	var levels []string
	natural := true
	for _, part := range p.parts {
		c, ok := part.Frame.Column(h.Name)
		if !ok || c.Kind != Category {
			continue
		}
		natural = natural && slices.Equal(c.Levels, part.Frame.naturally(c.Levels))
		for _, l := range c.Levels {
			l = part.Frame.inUnit(part.Frame.at[h.Name], l, h.Unit)
			if !slices.Contains(levels, l) && slices.Contains(h.words, l) {
				levels = append(levels, l)
			}
		}
	}
	var rest []string
	for _, w := range h.words {
		if !slices.Contains(levels, w) {
			rest = append(rest, w)
		}
	}
	levels = append(levels, p.next.naturally(rest)...)
	if natural {
		return p.next.naturally(levels)
	}
	return levels
}

// origin is the column that says which series a specimen is from.
func (p *pooling) origin() (held, []series.Series, error) {
	h := held{Column: Column{Name: SeriesColumn, Label: "Series", Header: "series", Kind: Category}}
	codes := make([][]int, len(p.parts))
	for i, part := range p.parts {
		f := part.Frame
		c, has := f.at[SeriesColumn]
		if has && f.held[c].Kind == Number {
			e := nameTaken(SeriesColumn)
			e.Detail, e.Hint = part.Name+" has a column series of numbers", "rename series to another name there"
			return h, nil, e
		}
		for row := range f.Len() {
			word := part.Name
			if has && !f.held[c].gone(row) {
				word = f.cell(c, row)
			}
			code := slices.Index(h.words, word)
			if code < 0 {
				code = len(h.words)
				h.words = append(h.words, word)
			}
			codes[i] = append(codes[i], code)
		}
	}
	h.setOrder(slices.Clone(h.words))
	each := make([]series.Series, len(p.parts))
	for i := range each {
		each[i] = series.New(codes[i], series.Int, h.Name)
	}
	return h, each, nil
}
