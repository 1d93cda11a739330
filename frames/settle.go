package frames

import (
	"math"
	"slices"
	"strings"
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
func (c *columnReader) done() []Remark {
	c.tallyUp()
	c.present = 0
	for k := bare; k < classes; k++ {
		c.present += c.counts[k]
	}
	var remarks []Remark
	say := func(code string, at spot, count int) {
		if count > 0 {
			remarks = append(remarks, Remark{Code: code, Column: c.Name, Line: at.line, Word: shortened(at.word), Count: count})
		}
	}
	if c.mode == numbers {
		if c.Unit.None() {
			c.Unit = c.cellUnit
		}
		c.Kind = Number
		if c.present == 0 && c.Unit.None() && !says(c.Name, forceWords) {
			c.Kind = Text
		}
		say("guessed-thousands", c.guessed, c.guesses)
		return remarks
	}
	c.Kind = Text
	if c.mode == words && len(c.list) < c.present && len(c.list) <= max(smallLevels, c.present/2) {
		c.Kind = Category
	}
	if c.present-c.counts[stray] < c.counts[stray] {
		return remarks
	}
	say("leading-zeros", c.first[zeros], c.counts[zeros])
	say("big-whole-number", c.first[long], c.counts[long])
	if mixed := c.mixed(); mixed != absent {
		say("mixed-units", c.first[mixed], c.counts[mixed])
		c.strayed = true
	}
	if c.counts[otherwise]+c.counts[stray] > 0 {
		say("other-decimal-mark", c.first[otherwise], c.counts[otherwise])
		say("stray-word", c.first[stray], c.counts[stray])
		c.strayed = true
	}
	if c.strayed {
		c.Kind = Text
	}
	if c.Unit.None() && c.counts[zeros]+c.counts[long] == 0 {
		c.Unit = c.cellUnit
	}
	return remarks
}

// distinct tells whether no value of the column occurs twice.
func (c *columnReader) distinct() bool {
	switch c.mode {
	case words:
		return len(c.list) == c.present
	case texts:
		seen := make(map[string]bool, len(c.texts))
		for i, s := range c.texts {
			if c.gone != nil && c.gone[i] {
				continue
			}
			if seen[s] {
				return false
			}
			seen[s] = true
		}
		return true
	}
	sorted := slices.DeleteFunc(slices.Clone(c.values), math.IsNaN)
	slices.Sort(sorted)
	return len(slices.Compact(sorted)) == c.present
}

// shortened keeps a cell quoted in a remark to a length that fits a line.
func shortened(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return strings.Clone(s)
}
