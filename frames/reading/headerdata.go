package reading

import (
	"context"
	"math"
	"slices"
	"strings"
	"unicode"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// likeBelow is how many texts of a column are looked at for one that is like its header.
const likeBelow = 1000

// dataInHeader is what the header holds where it looks like the rows below it, "" where it is a header: some
// cells are numbers above columns of numbers, and each other cell is a word that stands in its column too, or is
// written as those are (S1 above S2). A word that is none of that may also be a level met once, where two numbers
// and more are near those below them, and its column has no role by its name.
func (r *rowReader) dataInHeader(ctx context.Context) string {
	var cells []string
	numbersAbove, among, strange := 0, 0, 0
	for _, c := range r.columns {
		cell := notation.Trim(c.Header)
		if cell == "" || c.present == 0 {
			continue
		}
		cells = append(cells, cell)
		x, n, _ := c.notation.Scan(cell)
		number := n > 0 && bearsNumber(cell[n:])
		switch {
		case number && c.mode == numbers:
			numbersAbove++
			if c.reaches(ctx, x) {
				among++
			}
		case c.mode == numbers:
			return "" // words above numbers name them
		case !c.has(cell):
			if c.Role != frames.NoRole || number {
				return ""
			}
			strange++
		}
	}
	if numbersAbove == 0 || strange > 0 && (among < 2 || among < numbersAbove) {
		return ""
	}
	return strings.Join(cells, ", ")
}

// reaches tells whether a number lies among those of the column, or no further beyond than these are apart.
func (c *columnReader) reaches(ctx context.Context, x float64) bool {
	least, most := math.Inf(1), math.Inf(-1)
	for row, v := range c.values {
		parallel.LookAt(ctx, row)
		if v == v {
			least, most = min(least, v), max(most, v)
		}
	}
	return x >= least-(most-least) && x <= most+(most-least)
}

// has tells whether a word stands in the column, or one that is written like it.
func (c *columnReader) has(word string) bool {
	below := c.list
	if c.mode == texts {
		below = c.texts[:min(len(c.texts), likeBelow)]
	}
	return slices.ContainsFunc(below, func(other string) bool {
		return other == word || strings.ContainsFunc(word, unicode.IsDigit) && form(other) == form(word)
	})
}

// form is a word with each run of digits as one.
func form(word string) string {
	var b strings.Builder
	digits := false
	for _, r := range word {
		if unicode.IsDigit(r) {
			if !digits {
				b.WriteByte('0')
			}
		} else {
			b.WriteRune(r)
		}
		digits = unicode.IsDigit(r)
	}
	return b.String()
}
