package parser

import (
	"errors"
	"regexp"
	"slices"
	"strings"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/scan"
)

// Decimal is a number with a decimal comma, which is two numbers to a reader, and the line with a point in it.
type Decimal struct {
	At       int    // the 1-based character
	Typed    string // 402,5
	Number   string // 402.5
	Thousand string // 1234 of 1,234, where that may be what was meant
	Line     string
	Reads    bool // the line is a command

	start int // in bytes of the line
}

// decimalComma is a number with a comma in it that is no part of a word or of a longer list.
var decimalComma = regexp.MustCompile(`(?:^|[^\pL\pN_.,])(\d+,\d+)(?:$|[^\d.,]|,\D)`)

// thousands is a number that may have its thousands marked.
var thousands = regexp.MustCompile(`^[1-9]\d{0,2},\d{3}$`)

// How many numbers of a line are given a point, and how many are looked at, those in quotation marks too.
const (
	mostDecimals = 8
	mostCommas   = 100
)

// decimals are the first numbers of a line that have a comma, outside quotation marks.
func decimals(line string) (out []Decimal) {
	toks := scan.Tokens([]rune(line))
	from := 0
	for range mostCommas {
		m := decimalComma.FindStringSubmatchIndex(line[from:])
		if m == nil || len(out) == mostDecimals {
			break
		}
		d := Decimal{start: from + m[2], Typed: line[from+m[2] : from+m[3]]}
		from += m[3]
		d.At = len([]rune(line[:d.start])) + 1
		d.Number = strings.Replace(d.Typed, ",", ".", 1)
		if thousands.MatchString(d.Typed) {
			d.Thousand = strings.Replace(d.Typed, ",", "", 1)
		}
		if !slices.ContainsFunc(toks, func(t scan.Token) bool {
			return t.Kind == scan.Quote && t.Start < d.At && d.At <= t.End
		}) {
			out = append(out, d)
		}
	}
	return out
}

// in is a line with a point in the number.
func (d Decimal) in(line string) string {
	return line[:d.start] + d.Number + line[d.start+len(d.Number):]
}

// and is the first number with the line in which the next one has its point too.
func (d Decimal) and(next Decimal, line string) Decimal {
	if d.At == 0 {
		d = next
	}
	if next.Thousand != "" {
		d.Thousand = next.Thousand
	}
	d.Line = next.in(line)
	return d
}

// WithPoints is a line that is no command, with a point in each number with a comma that it fails at and that the
// reading goes on after then; found is false where it has none.
func WithPoints(line string, k phrase.Known) (first Decimal, found bool) {
	if len(decimals(line)) == 0 {
		return first, false
	}
	l := phrase.Standard()
	return withPoints(l, line, failsAt(l, line, k), k)
}

// withPoints is WithPoints of a line that fails at a character.
func withPoints(l *phrase.Language, line string, at int, k phrase.Known) (first Decimal, found bool) {
	for _, d := range decimals(line) {
		if at < d.At || at >= d.At+len(d.Typed) {
			continue
		}
		next := failsAt(l, d.in(line), k)
		if next > 0 && next < d.At+len(d.Typed) {
			break
		}
		first = first.and(d, line)
		line, at, first.Reads = first.Line, next, next == 0
	}
	return first, first.At > 0
}

// failsAt is the character that a line fails at; 0 where it is a command.
func failsAt(l *phrase.Language, line string, k phrase.Known) int {
	in := []rune(line)
	toks := scan.Tokens(in)
	c, best := attempt(l, phrase.Piece{Text: line, At: 1}, in, toks, k, false)
	if c == nil {
		c, _ = attempt(l, phrase.Piece{Text: line, At: 1}, in, toks, k, true)
	}
	var e *phrase.Error
	if c != nil || best == nil || !errors.As(best.error(), &e) {
		return 0
	}
	return e.At
}

// UpwardWithPoints is a command whose list of numbers does not go upwards as it should, with points in its numbers
// with a comma; found is false where that is no help.
func UpwardWithPoints(line string, k phrase.Known) (first Decimal, found bool) {
	for _, d := range decimals(line) {
		first = first.and(d, line)
		line = first.Line
	}
	c, err := ParseLine(line, k)
	if err != nil {
		return first, false
	}
	list, _ := phrase.Part[phrase.Amounts](c)
	first.Reads = true
	return first, first.At > 0 && first.Thousand == "" && slices.IsSortedFunc(list.List, func(a, b phrase.Amount) int {
		if a.Unit == b.Unit && a.Value < b.Value {
			return -1
		}
		return 1
	})
}

// Problem is the error that names the comma. A line is offered where it reads and no thousands can be meant.
func (d Decimal) Problem() *phrase.Error {
	e := &phrase.Error{Code: "expected-number", At: d.At,
		Message: d.Typed + " is not one number: a decimal is typed with a point", Hint: "type " + d.Number}
	switch {
	case d.Thousand != "":
		e.Message += ", and thousands without a mark"
		e.Hint += " or " + d.Thousand
	case d.Reads:
		e.Hint = phrase.Try(d.Line)
	}
	return e
}
