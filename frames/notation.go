package frames

import "strings"

// notation is how the numbers of a file are written.
type notation struct {
	decimal   byte // '.' or ','
	thousands byte // what parts thousands: ',', '.', ' ' (a blank of any kind), '\'' (either apostrophe); 0 for nothing
}

// partingMarks are the marks that can part thousands, in the order preferred, with
// the word a person types for each.
var partingMarks = []struct {
	mark byte
	name string
}{{',', "comma"}, {'.', "point"}, {' ', "space"}, {'\'', "apostrophe"}}

// partingName is the word for a thousands mark, "none" where there is none.
func partingName(mark byte) string {
	for _, p := range partingMarks {
		if p.mark == mark {
			return p.name
		}
	}
	return "none"
}

// partingCalled is the thousands mark of a word, 0 for "none" and for no such word.
func partingCalled(name string) byte {
	for _, p := range partingMarks {
		if p.name == name {
			return p.mark
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

// scan reads the number a cell starts with, as scanNumber does, thousands marks
// included: they must stand before every third digit of the whole part, and the
// number must not start with 0.
func (m notation) scan(s string) (x float64, n int, f form) {
	x, n, f = scanNumber(s, m.decimal)
	if m.thousands == 0 || n == 0 || n == len(s) {
		return x, n, f
	}
	if mark, size := markAt(s, n); mark != m.thousands || !digitAt(s, n+size) {
		return x, n, f
	}
	g := cut(s)
	whole := len(g.marks)
	if whole > 0 && g.marks[whole-1] == m.decimal {
		whole--
	}
	if whole == 0 || !g.parted(whole, m.thousands) {
		return x, n, f
	}
	digits := make([]byte, 0, 64)
	digits = append(digits, s[:g.sign]...)
	for i := g.sign; i < g.end; {
		if mark, size := markAt(s, i); mark == m.thousands {
			i += size
			continue
		}
		digits = append(digits, s[i])
		i++
	}
	_, end := scanExponent(s, g.end)
	digits = append(digits, s[g.end:end]...)
	x, length, f := scanNumber(string(digits), m.decimal)
	if length != len(digits) {
		return 0, 0, plain
	}
	return x, end, f
}

func digitAt(s string, i int) bool { return i < len(s) && s[i] >= '0' && s[i] <= '9' }

// grouped is a number cut at the marks between its digits: 1.234.567,8 has the
// marks ". . ," and groups of 1, 3, 3 and 1 digits.
type grouped struct {
	sign    int // where its digits start
	end     int // where they end
	zero    bool
	marks   []byte
	lengths []int
}

// cut takes a cell's leading number apart. A mark belongs to it where a digit follows.
func cut(s string) grouped {
	var marks [16]byte
	var lengths [17]int
	sign, _ := signOf(s)
	g := grouped{sign: sign, end: sign, zero: sign < len(s) && s[sign] == '0', marks: marks[:0], lengths: lengths[:0]}
	length := 0
	for i := sign; i < len(s); {
		if digitAt(s, i) {
			length++
			i++
			g.end = i
			continue
		}
		mark, size := markAt(s, i)
		if mark == 0 || !digitAt(s, i+size) || len(g.marks) == len(marks) {
			break
		}
		g.marks, g.lengths = append(g.marks, mark), append(g.lengths, length)
		length = 0
		i += size
	}
	g.lengths = append(g.lengths, length)
	return g
}

// parted tells whether the first so many marks are this one and part thousands.
func (g grouped) parted(marks int, mark byte) bool {
	if g.zero || g.lengths[0] < 1 || g.lengths[0] > 3 {
		return false
	}
	for i := range marks {
		if g.marks[i] != mark || g.lengths[i+1] != 3 {
			return false
		}
	}
	return true
}
