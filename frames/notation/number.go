package notation

import (
	"math"
	"strconv"
	"strings"
)

// Form says what a number in a cell looks like, where that matters for how it is kept.
type Form uint8

const (
	Plain     Form = iota
	Padded         // a whole number with leading zeros (007): a code, not a quantity
	LongWhole      // a whole number beyond 2^53, which a float64 would round
)

// pow10 are the powers of ten a float64 holds exactly.
var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
	1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// Number reads the number a cell starts with: a sign (also −), digits with at
// most one decimal mark, an exponent. It returns its value and how many bytes it
// takes, 0 where there is none or where it is beyond float64. The value is the
// float64 nearest to what is written: either both steps are exact (at most 2^53
// times or over a power of ten up to 22; Clinger 1990), or strconv reads it.
func Number(s string, mark byte) (x float64, n int, f Form) {
	i, negative := Sign(s)
	start, whole, scale := i, 0, 0
	var mantissa uint64
	significant := 0
	marked := false
	for ; i < len(s); i++ {
		c := s[i]
		if c == mark && !marked {
			marked, whole = true, i-start
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		if significant > 0 || c != '0' {
			significant++
		}
		if significant <= 19 {
			mantissa = mantissa*10 + uint64(c-'0')
		}
		if marked {
			scale--
		}
	}
	digits := i - start
	if marked {
		digits--
	} else {
		whole = digits
	}
	if digits == 0 {
		return 0, 0, Plain
	}
	exponent, end := Exponent(s, i)
	if !marked && end == i {
		switch {
		case whole > 1 && s[start] == '0':
			f = Padded
		case significant > 19 || mantissa > 1<<53:
			f = LongWhole
		}
	}
	power := scale + exponent
	if significant <= 19 && mantissa <= 1<<53 && power >= -22 && power <= 22 {
		x = float64(mantissa)
		if power < 0 {
			x /= pow10[-power]
		} else {
			x *= pow10[power]
		}
		if negative {
			x = -x
		}
		return x, end, f
	}
	text := s[start:end]
	if mark != '.' {
		text = strings.Replace(text, string(mark), ".", 1)
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, 0, Plain
	}
	if negative {
		x = -x
	}
	return x, end, f
}

// Sign is the length of the sign a number starts with, which may be one of the
// dashes that word processors make of a minus, and whether it is a minus.
func Sign(s string) (length int, negative bool) {
	if s == "" || s[0] >= '0' && s[0] <= '9' {
		return 0, false
	}
	if s[0] == '-' || s[0] == '+' {
		return 1, s[0] == '-'
	}
	for _, minus := range [...]string{"−", "–", "‐", "‑", "﹣", "－"} {
		if strings.HasPrefix(s, minus) {
			return len(minus), true
		}
	}
	return 0, false
}

// Quick reads the commonest cell, nothing but at most 15 digits with at most one
// decimal mark and a minus: exactly, since both the digits and the power of ten are
// whole numbers a float64 holds, so that one division rounds once (Clinger 1990).
// It leaves everything else, codes such as 007 included, to Number.
func Quick[T string | []byte](s T, mark byte) (x float64, ok bool) {
	start := 0
	if len(s) > 0 && s[0] == '-' {
		start = 1
	}
	if len(s) == start || len(s) > start+16 {
		return 0, false
	}
	var digits uint64
	i := start
	for ; i < len(s) && s[i]-'0' <= 9; i++ {
		digits = digits*10 + uint64(s[i]-'0')
	}
	whole := i - start
	switch {
	case i == len(s):
		if whole > 15 || whole > 1 && s[start] == '0' {
			return 0, false
		}
		x = float64(digits)
	case s[i] != mark || len(s) == start+1:
		return 0, false
	default:
		for i++; i < len(s) && s[i]-'0' <= 9; i++ {
			digits = digits*10 + uint64(s[i]-'0')
		}
		if i < len(s) {
			return 0, false
		}
		x = float64(digits) / pow10[len(s)-start-whole-1]
	}
	if start > 0 {
		x = -x
	}
	return x, true
}

// Exponent reads e-3 at place i; where there is none it ends there.
func Exponent(s string, i int) (exponent, end int) {
	if i >= len(s) || s[i] != 'e' && s[i] != 'E' {
		return 0, i
	}
	j := i + 1
	if j < len(s) && (s[j] == '-' || s[j] == '+') {
		j++
	}
	first := j
	for j < len(s) && s[j] >= '0' && s[j] <= '9' {
		j++
	}
	if j == first {
		return 0, i
	}
	if j-first > 6 {
		return math.MaxInt32, j
	}
	exponent, _ = strconv.Atoi(s[i+1 : j])
	return exponent, j
}

// Rounded tells whether a long whole number, read as x, did not come through exactly.
func Rounded(long string, x float64) bool {
	digits := strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, long)
	return strconv.FormatFloat(math.Abs(x), 'f', 0, 64) != strings.TrimLeft(digits, "0")
}

// Trim takes off blanks of every kind, no-break and zero-width ones included.
func Trim(s string) string {
	if s == "" || s[0] > ' ' && s[0] < 0x80 && s[len(s)-1] > ' ' && s[len(s)-1] < 0x80 {
		return s
	}
	s = strings.TrimSpace(s)
	return strings.TrimSpace(strings.Trim(s, "\u200b\u2060\ufeff"))
}

// List reports whether a cell holds several numbers, three and more with blanks or semicolons between
// them: a list, and no number with a slip in it.
func List(cell string) bool {
	parts := strings.FieldsFunc(cell, func(r rune) bool { return r == ' ' || r == ';' || r == '\t' })
	for _, part := range parts {
		mark := byte('.')
		if strings.ContainsRune(part, ',') {
			mark = ','
		}
		if _, n, _ := Number(part, mark); n == 0 || n < len(part) {
			return false
		}
	}
	return len(parts) >= 3
}
