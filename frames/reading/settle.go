package reading

import (
	"context"
	"hash/maphash"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// clashes tells whether numbers with and without a unit stand mixed, the header
// giving none: nobody can say what the bare ones are in.
func (c *columnReader) clashes() bool {
	return c.counts[bare] > 0 && c.counts[united] > 0 && c.Unit.None()
}

// mixed is the class of the cells whose unit, or lack of one, differs from those
// before them; absent where all agree.
func (c *columnReader) mixed() class {
	switch {
	case c.counts[foreign] > 0:
		return foreign
	case !c.clashes():
		return absent
	case c.first[united].line > c.first[bare].line:
		return united
	}
	return bare
}

// done counts up, gives the column its kind and unit, and says what was odd.
func (c *columnReader) done() []frames.Remark {
	c.tallyUp()
	c.present = 0
	for k := bare; k < classes; k++ {
		c.present += c.counts[k]
	}
	var remarks []frames.Remark
	say := func(code string, at position, count int) {
		if count > 0 {
			remarks = append(remarks, frames.Remark{Code: code, Column: c.Name, Line: at.line, Word: Shortened(at.word),
				Count: count})
		}
	}
	say("odd-bytes", c.undecoded.position, c.undecoded.count)
	if c.mode == numbers {
		if c.Unit.None() {
			c.Unit = c.cellUnit
		}
		c.Kind = frames.Number
		if c.present == 0 && c.Unit.None() && !notation.Says(c.Name, notation.ForceWords) {
			c.Kind = frames.Text
		}
		say("guessed-thousands", c.guessed, c.guesses)
		return remarks
	}
	c.Kind = frames.Text
	if c.mode == words && len(c.list) < c.present && len(c.list) <= max(smallLevels, c.present/2) {
		c.Kind = frames.Category
	}
	if c.present-c.counts[stray] < c.counts[stray] {
		if c.meantAsNumbers() {
			say("few-numbers", c.first[stray], c.counts[stray])
			for _, at := range c.strays {
				r := &remarks[len(remarks)-1]
				r.Cells = append(r.Cells, frames.CellAt{Line: at.line, Word: Shortened(at.word)})
			}
		}
		return remarks
	}
	say("leading-zeros", c.first[zeros], c.counts[zeros])
	say("big-whole-number", c.first[long], c.counts[long])
	if mixed := c.mixed(); mixed != absent {
		say("mixed-units", c.first[mixed], c.counts[mixed])
		c.strayed = true
	}
	if c.counts[otherwise]+c.counts[stray] > 0 {
		if !c.labels { // 1.2 may be the second specimen of board 1
			say("other-decimal-mark", c.first[otherwise], c.counts[otherwise])
		}
		if !notation.List(c.first[stray].word) {
			say("stray-word", c.first[stray], c.counts[stray])
		}
		c.strayed = true
	}
	if c.strayed {
		c.Kind = frames.Text
	}
	if c.Unit.None() && c.counts[zeros]+c.counts[long] == 0 {
		c.Unit = c.cellUnit
	}
	return remarks
}

// meantAsNumbers tells whether a column of words was meant to hold numbers: it is called a load, or has a unit and
// more words than one, and a quarter of its cells and more are numbers.
func (c *columnReader) meantAsNumbers() bool {
	return (notation.Says(c.Name, notation.ForceWords) || !c.Unit.None() && len(c.strays) > 1) &&
		4*(c.present-c.counts[stray]) >= c.present
}

// distinct tells whether no value of the column occurs twice. It looks at ctx.
func (c *columnReader) distinct(ctx context.Context) bool {
	switch c.mode {
	case words:
		return len(c.list) == c.present
	case texts:
		seen := map[string]bool{}
		for i, s := range c.texts {
			parallel.LookAt(ctx, i)
			if c.absentRow != nil && c.absentRow[i] {
				continue
			}
			if seen[s] {
				return false
			}
			seen[s] = true
		}
		return true
	}
	return distinctNumbers(ctx, c.values)
}

// distinctNumbers tells whether no number but NaN occurs twice. Where they rise, as the
// numbers of specimens mostly do, one look shows it; else they are sorted into buckets
// first, so that none takes long.
func distinctNumbers(ctx context.Context, values []float64) bool {
	rising, last := true, math.Inf(-1)
	for i, x := range values {
		parallel.LookAt(ctx, i)
		if rising = x > last; !rising {
			break
		}
		last = x
	}
	if rising {
		return true
	}
	buckets := make([][]float64, len(values)/bucketed+1)
	for i, x := range values {
		parallel.LookAt(ctx, i)
		if x == x {
			bucket := maphash.Comparable(bucketSeed, x+0) % uint64(len(buckets))
			buckets[bucket] = append(buckets[bucket], x)
		}
	}
	for _, b := range buckets {
		parallel.Look(ctx)
		slices.Sort(b)
		if len(slices.Compact(b)) < len(b) {
			return false
		}
	}
	return true
}

// bucketed is about how many numbers are in a bucket.
const bucketed = 1 << 16

// bucketSeed spreads numbers over buckets; which is in which changes no answer.
var bucketSeed = maphash.MakeSeed()

// Shortened keeps a cell quoted in a remark to a length that fits a line.
func Shortened(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return strings.ToValidUTF8(strings.Clone(s), "\ufffd")
}
