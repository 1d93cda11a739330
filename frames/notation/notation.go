// Package notation reads what a cell holds as people write it: a number with its marks
// and sign, a date in one order or another, a header with the unit after it. Text comes
// in, trimmed or not; a value comes out, with how much of the text it took or whether
// there is one. What a whole file says about its notation is put together elsewhere.
package notation

import "strings"

// Marks is how the numbers of a file are written.
type Marks struct {
	Decimal   byte // '.' or ','
	Thousands byte // what parts thousands: ',', '.', ' ' (a blank of any kind), '\'' (either apostrophe); 0 for nothing
}

// PartingMarks are the marks that can part thousands, in the order preferred, with
// the word a person types for each.
var PartingMarks = []struct {
	Mark byte
	name string
}{{',', "comma"}, {'.', "point"}, {' ', "space"}, {'\'', "apostrophe"}}

// PartingName is the word for a thousands mark, "none" where there is none.
func PartingName(mark byte) string {
	for _, p := range PartingMarks {
		if p.Mark == mark {
			return p.name
		}
	}
	return "none"
}

// PartingCalled is the thousands mark of a word, 0 for "none" and for no such word.
func PartingCalled(name string) byte {
	for _, p := range PartingMarks {
		if p.name == name {
			return p.Mark
		}
	}
	return 0
}

// markAt is the mark at place i that can stand between digits, and its length in
// bytes; 0 where there is none. Every blank counts as ' ', either apostrophe as '\”.
func markAt(s string, i int) (mark byte, size int) {
	if i >= len(s) {
		return 0, 0
	}
	switch s[i] {
	case '.', ',', '\'', ' ':
		return s[i], 1
	case 0xc2, 0xe2:
		for _, m := range [...]string{"\u00a0", "\u202f", "\u2009", "\u2007"} {
			if strings.HasPrefix(s[i:], m) {
				return ' ', len(m)
			}
		}
		if strings.HasPrefix(s[i:], "’") {
			return '\'', len("’")
		}
	}
	return 0, 0
}

// Scan reads the number a cell starts with, as Number does, thousands marks
// included: they must stand before every third digit of the whole part, and the
// number must not start with 0.
func (m Marks) Scan(s string) (x float64, n int, f Form) {
	x, n, f = Number(s, m.Decimal)
	if m.Thousands == 0 || n == 0 || n == len(s) {
		return x, n, f
	}
	if mark, size := markAt(s, n); mark != m.Thousands || !DigitAt(s, n+size) {
		return x, n, f
	}
	g := Cut(s)
	whole := len(g.Marks)
	if whole > 0 && g.Marks[whole-1] == m.Decimal {
		whole--
	}
	if whole == 0 || !g.Parted(whole, m.Thousands) {
		return x, n, f
	}
	digits := make([]byte, 0, 64)
	digits = append(digits, s[:g.sign]...)
	for i := g.sign; i < g.End; {
		if mark, size := markAt(s, i); mark == m.Thousands {
			i += size
			continue
		}
		digits = append(digits, s[i])
		i++
	}
	_, end := Exponent(s, g.End)
	digits = append(digits, s[g.End:end]...)
	x, length, f := Number(string(digits), m.Decimal)
	if length != len(digits) {
		return 0, 0, Plain
	}
	return x, end, f
}

// DigitAt tells whether a digit stands at place i.
func DigitAt(s string, i int) bool { return i < len(s) && s[i] >= '0' && s[i] <= '9' }

// Grouped is a number cut at the marks between its digits: 1.234.567,8 has the
// marks ". . ," and groups of 1, 3, 3 and 1 digits.
type Grouped struct {
	sign    int // where its digits start
	End     int // where they end
	zero    bool
	Marks   []byte
	lengths []int
}

// Cut takes a cell's leading number apart. A mark belongs to it where a digit follows.
func Cut(s string) Grouped {
	var marks [16]byte
	var lengths [17]int
	sign, _ := Sign(s)
	g := Grouped{sign: sign, End: sign, zero: sign < len(s) && s[sign] == '0', Marks: marks[:0], lengths: lengths[:0]}
	length := 0
	for i := sign; i < len(s); {
		if DigitAt(s, i) {
			length++
			i++
			g.End = i
			continue
		}
		mark, size := markAt(s, i)
		if mark == 0 || !DigitAt(s, i+size) || len(g.Marks) == len(marks) {
			break
		}
		g.Marks, g.lengths = append(g.Marks, mark), append(g.lengths, length)
		length = 0
		i += size
	}
	g.lengths = append(g.lengths, length)
	return g
}

// Parted tells whether the first so many marks are this one and part thousands.
func (g Grouped) Parted(marks int, mark byte) bool {
	if g.zero || g.lengths[0] < 1 || g.lengths[0] > 3 {
		return false
	}
	for i := range marks {
		if g.Marks[i] != mark || g.lengths[i+1] != 3 {
			return false
		}
	}
	return true
}
