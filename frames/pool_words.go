package frames

import (
	"slices"

	"github.com/go-gota/gota/series"

	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// cells goes through the cells of a column in every part, as words in the one unit.
func (p *pooling) cells(h *held, do func(cell string, present bool)) {
	total := 0
	var mask []bool
	for _, part := range p.parts {
		f := part.Frame
		c, has := f.at[h.Name]
		for row := range f.Len() {
			parallel.LookAt(p.ctx, row)
			cell, present := "", false
			if has && !f.held[c].gone(row) {
				cell, present = f.inUnit(c, f.cell(c, row), h.Unit), true
			}
			do(cell, present)
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

func (p *pooling) texts(h *held) series.Series {
	h.words, h.place = nil, nil
	var texts []string
	p.cells(h, func(cell string, _ bool) { texts = append(texts, cell) })
	return seriesOf(p.ctx, series.String, len(texts), func(row int) any { return texts[row] })
}

// words gives the words of all parts one set of codes, and settles the levels' order.
func (p *pooling) words(h *held) series.Series {
	var codes []int
	seen := map[string]int{}
	h.words = nil
	p.cells(h, func(cell string, present bool) {
		code := -1
		if present {
			var met bool
			if code, met = seen[cell]; !met {
				code = len(h.words)
				seen[cell], h.words = code, append(h.words, cell)
			}
		}
		codes = append(codes, code)
	})
	h.setOrder(p.order(h))
	return seriesOf(p.ctx, series.Int, len(codes), func(row int) any { return codes[row] })
}

// order is natural where it was in every part, else that of the parts one after another.
func (p *pooling) order(h *held) []string {
	var levels []string
	natural, unplaced := true, map[string]bool{} // what occurs and has no place yet
	for _, w := range h.words {
		unplaced[w] = true
	}
	for _, part := range p.parts {
		c, ok := part.Frame.Column(h.Name)
		if !ok || c.Kind != Category {
			continue
		}
		natural = natural && slices.Equal(c.Levels, part.Frame.naturally(c.Levels))
		for i, l := range c.Levels {
			parallel.LookAt(p.ctx, i)
			l = part.Frame.inUnit(part.Frame.at[h.Name], l, h.Unit)
			if unplaced[l] {
				unplaced[l], levels = false, append(levels, l)
			}
		}
	}
	rest := lists.Where(h.words, func(w string) bool { return unplaced[w] })
	levels = append(levels, p.next.naturally(rest)...)
	if natural {
		return p.next.naturally(levels)
	}
	return levels
}

// origin is the column that says which series a specimen is from.
func (p *pooling) origin() (held, series.Series, error) {
	h := held{Column: Column{Name: SeriesColumn, Label: "Series", Header: "series", Kind: Category}}
	var codes []int
	for _, part := range p.parts {
		f := part.Frame
		c, has := f.at[SeriesColumn]
		if has && f.held[c].Kind == Number {
			e := NameTaken(SeriesColumn)
			e.Detail, e.Hint = part.Name+" has a column series of numbers", "rename series to another name there"
			return h, series.Series{}, e
		}
		for row := range f.Len() {
			parallel.LookAt(p.ctx, row)
			word := part.Name
			if has && !f.held[c].gone(row) {
				word = f.cell(c, row)
			}
			code := slices.Index(h.words, word)
			if code < 0 {
				code = len(h.words)
				h.words = append(h.words, word)
			}
			codes = append(codes, code)
		}
	}
	h.setOrder(slices.Clone(h.words))
	return h, seriesOf(p.ctx, series.Int, len(codes), func(row int) any { return codes[row] }), nil
}
