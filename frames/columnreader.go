package frames

import (
	"math"
	"slices"
	"strings"

	"breakbook/frames/units"
)

// mode is how a columnReader keeps what it is given.
type mode uint8

const (
	numbers mode = iota // as float64, while every cell is a number or missing
	words               // as codes into the distinct words
	texts               // each cell its own text, when there are too many distinct words
	lost                // not at all: a word came after numbers; the next pass starts with words
)

// A words column is a category when a word repeats, and there are at most
// smallLevels words or half as many as cells, and never more than mostLevels.
const (
	smallLevels = 12
	mostLevels  = 1000
)

// class is what one cell is.
type class uint8

const (
	absent    class = iota
	bare            // a number
	united          // a number with a unit
	zeros           // 007
	long            // a whole number beyond 2^53
	foreign         // a number with another unit than the column's
	otherwise       // a number with the other decimal mark, or with parted thousands
	stray           // a word
	classes
)

// spot is where something was first met.
type spot struct {
	line int
	word string
}

// columnReader takes one column's cells, in one of the modes.
type columnReader struct {
	Column
	mode   mode
	mark   byte
	absent *absence
	labels bool // cells are names: no units in them
	seen   *marks
	comma  byte // the file's separator, for seen

	values []float64 // numbers
	codes  []int     // words; -1 for missing
	list   []string
	table  map[string]int
	kinds  []class
	tally  []int
	texts  []string // texts
	gone   []bool

	counts   [classes]int
	first    [classes]spot
	cellUnit units.Unit
	lastTail string // the unit text read last, with what it was
	lastUnit units.Unit
	lastOK   bool

	present int  // after done: cells that are not missing
	strayed bool // after done: numbers but for stray words
}

// add takes the next cell.
func (c *columnReader) add(cell string, line int) {
	cell = trim(cell)
	switch c.mode {
	case numbers:
		if cell == "" {
			c.values = append(c.values, math.NaN())
			return
		}
		if !c.absent.given {
			if x, n, f := scanNumber(cell, c.mark); n == len(cell) && f == plain {
				if c.counts[bare]++; c.counts[bare] == 1 {
					c.first[bare] = spot{line, strings.Clone(cell)}
				}
				c.values = append(c.values, x)
				return
			}
		}
		c.addOdd(cell, line)
	case words:
		c.addWord(cell, line)
	case texts:
		k, _ := c.classify(cell, line)
		c.count(k, cell, line, 1)
		c.keepText(cell, k == absent)
	case lost:
		k, _ := c.classify(cell, line)
		c.count(k, cell, line, 1)
	}
}

// addOdd takes a cell of a number column that is not just a number.
func (c *columnReader) addOdd(cell string, line int) {
	k, x := c.classify(cell, line)
	switch {
	case k == absent:
		c.values = append(c.values, math.NaN())
	case k <= united:
		c.count(k, cell, line, 1)
		c.values = append(c.values, x)
	case c.counts[bare]+c.counts[united] == 0:
		c.mode = words
		c.codes = make([]int, len(c.values), cap(c.values))
		for i := range c.codes {
			c.codes[i] = -1
		}
		c.values = nil
		c.addWord(cell, line)
	default:
		c.count(k, cell, line, 1)
		if slices.ContainsFunc(c.values, broken) {
			c.seen.point++
		}
		c.mode, c.values = lost, nil
	}
}

// broken tells a number that is not whole.
func broken(x float64) bool { return x != math.Trunc(x) && !math.IsNaN(x) }

// reserve makes room for so many rows.
func (c *columnReader) reserve(rows int) {
	if c.mode == numbers {
		c.values = make([]float64, 0, rows)
		return
	}
	c.codes = make([]int, 0, rows)
}

func (c *columnReader) addWord(cell string, line int) {
	if cell == "" {
		c.codes = append(c.codes, -1)
		return
	}
	code, ok := c.table[cell]
	if !ok {
		k, _ := c.classify(cell, line)
		cell = strings.Clone(cell)
		if code = len(c.list); k == absent {
			code = -1
		} else {
			c.list = append(c.list, cell)
			c.kinds = append(c.kinds, k)
			c.tally = append(c.tally, 0)
			c.count(k, cell, line, 0)
		}
		if c.table == nil {
			c.table = map[string]int{}
		}
		c.table[cell] = code
	}
	c.codes = append(c.codes, code)
	if code >= 0 {
		c.tally[code]++
	}
	if len(c.list) > mostLevels {
		c.spread()
	}
}

// spread goes from words to texts.
func (c *columnReader) spread() {
	c.mode = texts
	c.texts = make([]string, 0, cap(c.codes))
	for _, code := range c.codes {
		if code < 0 {
			c.keepText("", true)
		} else {
			c.keepText(c.list[code], false)
		}
	}
	c.tallyUp()
	c.codes, c.list, c.table = nil, nil, nil
}

func (c *columnReader) keepText(cell string, missing bool) {
	if missing {
		cell = ""
		if c.gone == nil {
			c.gone = make([]bool, len(c.texts), cap(c.texts))
		}
	}
	if c.gone != nil {
		c.gone = append(c.gone, missing)
	}
	c.texts = append(c.texts, cell)
}

// tallyUp moves the counts of the words into the counts by class.
func (c *columnReader) tallyUp() {
	for code, n := range c.tally {
		c.counts[c.kinds[code]] += n
	}
	c.tally, c.kinds = nil, nil
}

func (c *columnReader) count(k class, cell string, line, n int) {
	if c.first[k].line == 0 {
		c.first[k] = spot{line, strings.Clone(cell)}
	}
	c.counts[k] += n
}

// classify says what a trimmed cell is and, for a number, its value.
func (c *columnReader) classify(cell string, line int) (class, float64) {
	if cell == "" || c.absent.given && c.absent.is(cell) {
		return absent, 0
	}
	x, n, f := scanNumber(cell, c.mark)
	if n > 0 {
		if n == len(cell) {
			return [...]class{plain: bare, padded: zeros, longWhole: long}[f], x
		}
		if u, ok := c.unitOf(cell[n:]); ok && f == plain {
			if c.cellUnit.None() {
				c.cellUnit = u
			}
			if u != c.cellUnit || !c.Unit.None() && u != c.Unit {
				return foreign, x
			}
			return united, x
		}
	}
	if !c.absent.given && c.absent.is(cell) {
		return absent, 0
	}
	c.seen.look(cell, c.comma)
	other := byte('.' + ',' - c.mark)
	if n := marked(cell, other); n > 0 {
		if _, ok := c.unitOf(cell[n:]); ok || n == len(cell) {
			return otherwise, 0
		}
	}
	return stray, 0
}

// unitOf reads what follows a number in a cell; cells mostly repeat the last one's.
func (c *columnReader) unitOf(tail string) (units.Unit, bool) {
	if c.labels || len(tail) > 40 {
		return units.Unit{}, false
	}
	if tail != c.lastTail {
		c.lastTail = strings.Clone(tail)
		c.lastUnit, c.lastOK = units.Parse(tail)
	}
	return c.lastUnit, c.lastOK
}

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
	return s
}
