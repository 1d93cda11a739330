package reading

import (
	"slices"
	"strings"

	"breakbook/frames/notation"
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
	if cell == "" || c.absent.given && c.isAbsent(cell, line) {
		return absent, 0
	}
	if x, n, f := c.scan(cell); n > 0 {
		if n == len(cell) {
			return [...]class{notation.Plain: bare, notation.Padded: zeros, notation.LongWhole: long}[f], x
		}
		if u, ok := c.unitOf(cell[n:]); ok && f == notation.Plain {
			if c.cellUnit.None() {
				c.cellUnit = u
			}
			if u != c.cellUnit || !c.Unit.None() && u != c.Unit {
				return foreign, x
			}
			return united, x
		}
	}
	if !c.absent.given && c.isAbsent(cell, line) {
		return absent, 0
	}
	c.seen.look(cell, line)
	if g, end, how := shapeOf(cell); how != noNumber && (len(g.Marks) > 1 || g.Marks[0] != c.notation.Decimal) {
		if _, ok := c.unitOf(cell[end:]); ok || end == len(cell) {
			return otherwise, 0
		}
	}
	return stray, 0
}

// isAbsent tells whether a cell means "no value", and keeps the words it met.
func (c *columnReader) isAbsent(cell string, line int) bool {
	if !c.absent.is(cell) {
		return false
	}
	if cell != "" && len(c.absences) < 100 && !slices.ContainsFunc(c.absences,
		func(s position) bool { return s.word == cell }) {
		c.absences = append(c.absences, position{line, strings.Clone(cell)})
	}
	return true
}

// unitOf reads what follows a number in a cell; cells mostly repeat the last one's.
func (c *columnReader) unitOf(tail string) (units.Unit, bool) {
	if c.labels || len(tail) > notation.LongestUnit {
		return units.Unit{}, false
	}
	if tail != c.lastTail {
		c.lastTail = strings.Clone(tail)
		c.lastUnit, c.lastOK = units.Parse(tail)
	}
	return c.lastUnit, c.lastOK
}

// scan reads the number a cell starts with.
func (c *columnReader) scan(cell string) (x float64, n int, f notation.Form) {
	x, n, f = c.notation.Scan(cell)
	if c.labels && strings.ContainsAny(cell[:n], "eE") {
		return 0, 0, notation.Plain
	}
	return x, n, f
}
