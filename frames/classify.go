package frames

import (
	"strings"

	"breakbook/frames/units"
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

// classify says what a trimmed cell is and, for a number, its value.
func (c *columnReader) classify(cell string, line int) (class, float64) {
	if cell == "" || c.absent.given && c.absent.is(cell) {
		return absent, 0
	}
	x, n, f := c.scan(cell)
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
	if c.labels || len(tail) > longestUnit {
		return units.Unit{}, false
	}
	if tail != c.lastTail {
		c.lastTail = strings.Clone(tail)
		c.lastUnit, c.lastOK = units.Parse(tail)
	}
	return c.lastUnit, c.lastOK
}

// scan reads the number a cell starts with.
func (c *columnReader) scan(cell string) (x float64, n int, f form) {
	x, n, f = scanNumber(cell, c.mark)
	if c.labels && strings.ContainsAny(cell[:n], "eE") {
		return 0, 0, plain
	}
	return x, n, f
}
