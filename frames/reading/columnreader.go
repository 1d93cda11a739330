package reading

import (
	"math"
	"strings"
	"unicode/utf8"

	"breakbook/frames"
	"breakbook/frames/notation"
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

// mostStrays is how many words among numbers are kept with their places.
const mostStrays = 5

// position is where something was first met.
type position struct {
	line int
	word string
}

// columnReader takes one column's cells, in one of the modes.
type columnReader struct {
	frames.Column
	mode     mode
	notation notation.Marks
	absent   *absence
	labels   bool       // cells are names: neither units nor exponents in them (2E1)
	seen     *evidence  // of the cells that are no plain numbers
	absences []position // the missing words met
	guessed  position   // the first number such as 1.234 whose mark was taken to part thousands
	guesses  int
	parted   bool // it met one whose mark can do nothing else

	values    []float64 // numbers
	codes     []int     // words; -1 for missing
	list      []string
	table     map[string]int
	kinds     []class
	tally     []int
	texts     []string        // texts
	room      strings.Builder // for more of them
	absentRow []bool

	counts   [classes]int
	first    [classes]position
	strays   []position // the first few words that are no numbers
	cellUnit units.Unit
	lastTail string // the unit text read last, with what it was
	lastUnit units.Unit
	lastOK   bool

	odd       bool // there are cells with bytes that could not be decoded
	undecoded struct {
		position
		count int
	}

	present int  // after done: cells that are not missing
	strayed bool // after done: numbers but for stray words
}

// take adds the column's cells of a batch; a row too short for it has none.
func (c *columnReader) take(b *batch, place int) {
	if len(b.Views) > 0 {
		takeFrom(c, b.Views, b.rows, place, c.copied)
	} else {
		takeFrom(c, b.Cells, b.rows, place, func(cell string) string { return cell })
	}
}

// copied is a cell as a string of its own, beside others where all are kept.
func (c *columnReader) copied(cell []byte) string {
	if c.mode != texts {
		return string(cell)
	}
	if c.room.Cap()-c.room.Len() < len(cell) {
		c.room.Reset() // what stands in it stays, with whoever holds a part of it
		c.room.Grow(max(textRoom, len(cell)))
	}
	from := c.room.Len()
	c.room.Write(cell)
	return c.room.String()[from:]
}

// textRoom is how many bytes of texts stand in one piece of memory.
const textRoom = 16 << 10

func takeFrom[T string | []byte](c *columnReader, cells []T, rows []row, place int, own func(T) string) {
	for _, r := range rows {
		var cell T
		if at := r.start + place; at < r.end {
			cell = cells[at]
		}
		if c.mode == numbers && !c.absent.given {
			if x, ok := notation.Quick(cell, c.notation.Decimal); ok {
				if c.counts[bare]++; c.counts[bare] == 1 {
					c.first[bare] = position{r.line, strings.Clone(string(cell))}
				}
				c.values = append(c.values, x)
				continue
			}
		}
		if c.mode == words && len(cell) > 0 {
			if code, ok := codeOf(c, cell); ok && code >= 0 {
				c.codes = append(c.codes, code)
				c.tally[code]++
				continue
			}
		}
		c.add(notation.Trim(own(cell)), r.line)
	}
}

// add takes the next cell, trimmed.
func (c *columnReader) add(cell string, line int) {
	if c.odd && !utf8.ValidString(cell) {
		if c.undecoded.count++; c.undecoded.count == 1 {
			c.undecoded.position = position{line, strings.ToValidUTF8(cell, "\ufffd")}
		}
		cell = ""
	}
	switch c.mode {
	case numbers:
		if cell == "" {
			c.values = append(c.values, math.NaN())
			return
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
		c.guess(cell, line)
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
		c.seen.values(c.values, c.notation.Decimal)
		c.mode, c.values = lost, nil
	}
}

// guess keeps a number that is parted by a mark which might be a decimal mark.
func (c *columnReader) guess(cell string, line int) {
	if t := c.notation.Thousands; t != '.' && t != ',' {
		return
	}
	switch g, _, how := shapeOf(cell); {
	case how == partedOnly || how == partedBroken:
		c.parted = true
	case how == eitherMark && g.Marks[0] == c.notation.Thousands:
		if c.guesses++; c.guesses == 1 {
			c.guessed = position{line, strings.Clone(cell)}
		}
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
	code, ok := codeOf(c, cell)
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

// codeOf is the code of a word met before.
func codeOf[T string | []byte](c *columnReader, cell T) (code int, ok bool) {
	const few = 8 // words that are found faster one by one than in a map
	if len(c.list) <= few {
		for code, word := range c.list {
			if word == string(cell) {
				return code, true
			}
		}
	}
	code, ok = c.table[string(cell)]
	return code, ok
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
		if c.absentRow == nil {
			c.absentRow = make([]bool, len(c.texts), cap(c.texts))
		}
	}
	if c.absentRow != nil {
		c.absentRow = append(c.absentRow, missing)
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
		c.first[k] = position{line, strings.Clone(cell)}
	}
	if k == stray && len(c.strays) < mostStrays {
		c.strays = append(c.strays, position{line, strings.Clone(cell)})
	}
	c.counts[k] += n
}
