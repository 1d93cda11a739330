package reading

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/parallel"
)

// evidence counts what the numbers met say about how a file writes numbers.
type evidence struct {
	decimal map[byte]int // numbers in which '.' or ',' can only mark the decimals: 12.5
	either  map[byte]int // in which it can do that or part thousands: 1.234
	parted  map[byte]int // in which a mark can only part thousands: 1.234.567 or 1.234,5
	first   map[byte]position
}

func newEvidence() *evidence {
	return &evidence{map[byte]int{}, map[byte]int{}, map[byte]int{}, map[byte]position{}}
}

// shape is what the marks in a number can be.
type shape uint8

const (
	noNumber     shape = iota // a date, a word, or a number without marks
	sureDecimal               // 12.5: the mark is the decimal mark
	eitherMark                // 1.234
	partedOnly                // 1.234.567 or 1 234: the marks part thousands
	partedBroken              // 1.234,5: the first marks part thousands, the last is the decimal mark
)

// shapeOf takes apart the number a trimmed cell holds, with or without a unit; end is
// where the number ends.
func shapeOf(cell string) (g notation.Grouped, end int, how shape) {
	start, _ := notation.Sign(cell)
	if !notation.DigitAt(cell, start) && !notation.DigitAt(cell, start+1) {
		return g, 0, noNumber
	}
	g = notation.Cut(cell)
	_, end = notation.Exponent(cell, g.End)
	k := len(g.Marks)
	if k == 0 || !bearsNumber(cell[end:]) {
		return g, end, noNumber
	}
	last := g.Marks[k-1]
	broken := last == '.' || last == ','
	switch {
	case k == 1 && broken && (end > g.End || !g.Parted(1, last)):
		how = sureDecimal
	case k == 1 && broken:
		how = eitherMark
	case g.Parted(k, last):
		how = partedOnly
	case k > 1 && broken && last != g.Marks[0] && g.Parted(k-1, g.Marks[0]):
		how = partedBroken
	}
	return g, end, how
}

// look takes in one trimmed cell.
func (e *evidence) look(cell string, line int) {
	g, _, how := shapeOf(cell)
	switch how {
	case sureDecimal:
		e.decimal[g.Marks[0]]++
	case eitherMark:
		if e.either[g.Marks[0]]++; e.either[g.Marks[0]] == 1 {
			e.first[g.Marks[0]] = position{line, cell}
		}
	case partedOnly:
		e.parted[g.Marks[0]]++
	case partedBroken:
		e.parted[g.Marks[0]]++
		e.decimal[g.Marks[len(g.Marks)-1]]++
	}
}

// bearsNumber tells whether what follows digits leaves them a number: nothing or a unit.
func bearsNumber(tail string) bool {
	if tail = notation.Trim(tail); tail == "" {
		return true
	}
	if len(tail) > notation.LongestUnit || strings.IndexByte("0123456789+-.,:;|\t", tail[0]) >= 0 {
		return false
	}
	_, ok := units.Parse(tail)
	return ok
}

// join adds what another part of the file said.
func (e *evidence) join(o *evidence) {
	for _, p := range notation.PartingMarks {
		e.decimal[p.Mark] += o.decimal[p.Mark]
		e.either[p.Mark] += o.either[p.Mark]
		e.parted[p.Mark] += o.parted[p.Mark]
		if at := o.first[p.Mark]; at.line > 0 && (e.first[p.Mark].line == 0 || at.line < e.first[p.Mark].line) {
			e.first[p.Mark] = at
		}
	}
}

// values adds what numbers already read say: a fraction that is not of three digits,
// or a number too small or too large for parted thousands, has a decimal mark.
func (e *evidence) values(values []float64, mark byte) (sure bool) {
	for _, x := range values {
		switch {
		case sureFraction(x):
			e.decimal[mark]++
			return true
		case broken(x):
			e.either[mark]++
		}
	}
	return false
}

// sureFraction tells a number that is not whole and cannot be a whole one with parted thousands.
func sureFraction(x float64) bool {
	a := math.Abs(x)
	return broken(x) && (a < 1 || a >= 1000 || math.Round(a*1000)/1000 != a)
}

// allValues is values for a column that may be long.
func (e *evidence) allValues(ctx context.Context, values []float64, mark byte) {
	for part := range slices.Chunk(values, parallel.Breath) {
		parallel.Look(ctx)
		if e.values(part, mark) {
			break
		}
	}
}

// recount counts anew, where both marks surely mark decimals, in how many numbers of the whole table each does: the
// first records and the odd cells alone do not say which is the commoner.
func (e *evidence) recount(ctx context.Context, columns []*columnReader) {
	e.decimal = map[byte]int{'.': 1, ',': 1}
	count := func(cell string, times int) {
		if g, _, how := shapeOf(cell); how == sureDecimal || how == partedBroken {
			e.decimal[g.Marks[len(g.Marks)-1]] += times
		}
	}
	for _, c := range columns {
		switch {
		case c.labels: // 1.2 may be the second specimen of board 1
		case c.mode == numbers:
			for i, x := range c.values {
				parallel.LookAt(ctx, i)
				if broken(x) && (sureFraction(x) || math.Round(x*100)/100 == x) {
					e.decimal[c.notation.Decimal]++
				}
			}
		case c.mode == words:
			for code, word := range c.list {
				count(word, c.tally[code])
			}
		default:
			for i, cell := range c.texts {
				parallel.LookAt(ctx, i)
				count(cell, 1)
			}
		}
	}
}

// notation decides how numbers are written; what the user said stands. Of two marks that both surely mark
// decimals the point is taken, but the comma where it does so more often and does not separate the cells. A mark
// that could be either is the decimal mark, except a comma in a file separated by commas.
func (e *evidence) notation(separator byte, o Overrides) notation.Marks {
	n := notation.Marks{Decimal: byte(o.Decimal)}
	sure := e.decimal[','] > 0 && e.decimal['.'] > 0
	switch {
	case n.Decimal != 0:
	case o.Thousands == '.':
		n.Decimal = ','
	case o.Thousands == ',':
		n.Decimal = '.'
	case sure && separator != ',' && e.decimal[','] > e.decimal['.']:
		n.Decimal = ','
	case e.decimal['.'] > 0:
		n.Decimal = '.'
	case e.decimal[','] > 0, e.parted['.'] > 0 && e.parted[','] == 0:
		n.Decimal = ','
	case e.either[','] > 0 && e.either['.'] == 0 && e.parted[','] == 0 && separator != ',':
		n.Decimal = ','
	default:
		n.Decimal = '.'
	}
	switch {
	case o.Thousands == NoThousands:
		return n
	case o.Thousands != 0:
		n.Thousands = byte(o.Thousands)
		return n
	}
	most := 0
	for _, p := range notation.PartingMarks {
		if p.Mark != n.Decimal && !(sure && (p.Mark == ',' || p.Mark == '.')) && e.parted[p.Mark] > most {
			n.Thousands, most = p.Mark, e.parted[p.Mark]
		}
	}
	if other := byte('.' + ',' - n.Decimal); most == 0 && !sure && e.decimal[other] == 0 && e.either[other] > 0 {
		n.Thousands = other
	}
	return n
}

// doubtful tells whether the decimal mark chosen may as well part thousands: every
// number with it has three digits after it, in a file whose separator does not settle
// it (a comma parts thousands in files separated by commas, a point in others).
func (e *evidence) doubtful(n notation.Marks, separator byte) bool {
	if n.Thousands != 0 || e.decimal[n.Decimal] > 0 || e.either[n.Decimal] == 0 {
		return false
	}
	if n.Decimal == '.' {
		return separator != ','
	}
	return separator == '\t' || separator == '|'
}
