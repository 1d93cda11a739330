package phrase

import (
	"math"
	"strconv"
	"strings"
	"unicode"
)

// Piece is one command of a line, not yet parsed.
type Piece struct {
	Text string // without comments, neighbours and blanks at either end
	At   int    // 1-based character of the line at which Text starts

	Before string // the command before it on the line, if any
}

// Split separates a line at each `;` that is not inside quotation marks and takes
// the comments off. more says that the line ends in a comma and goes on with the
// next: join the two with a line break and split again. A quotation mark left
// open is an *Error whose At counts in the line; then there are no pieces.
func Split(line string) (pieces []Piece, more bool, err error) {
	in := []rune(line)
	at, last := 0, byte(' ')
	var text []rune
	flush := func() {
		last = ' '
		if s := strings.TrimRightFunc(string(text), unicode.IsSpace); s != "" {
			p := Piece{Text: s, At: at}
			if n := len(pieces); n > 0 {
				p.Before = pieces[n-1].Text
			}
			pieces = append(pieces, p)
			last = s[len(s)-1]
		}
		text = nil
	}
	keep := func(i int, r ...rune) {
		if len(text) == 0 {
			if unicode.IsSpace(r[0]) {
				return
			}
			at = i + 1
		}
		text = append(text, r...)
	}
	for i := 0; i < len(in); i++ {
		switch r := in[i]; {
		case isQuote(r) && opensAt(in, i):
			_, end, closed := quoted(in, i)
			if !closed {
				return nil, false, unclosed(i + 1)
			}
			keep(i, in[i:end]...)
			i = end - 1
		case r == ';':
			flush()
		case r == '#' && opensAt(in, i):
			for i+1 < len(in) && in[i+1] != '\n' {
				i++
			}
		default:
			keep(i, r)
		}
	}
	flush() // an empty end after a `;` leaves no comma to go on from
	return pieces, last == ',', nil
}

func unclosed(at int) *Error {
	return &Error{Code: "unclosed-quote", Message: "this quotation mark is never closed", At: at,
		Hint: `end the text with "`}
}

func isQuote(r rune) bool { return r == '"' || r == '“' || r == '”' || r == '„' }

// opensAt reports whether the quotation mark or # at i stands where a word could
// start, so that the inch mark of 1/2" and the # of file#2 are plain characters.
func opensAt(in []rune, i int) bool {
	return i == 0 || !isWord(in[i-1]) && !isQuote(in[i-1])
}

// isWord reports whether a bare word may hold the character.
func isWord(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsNumber(r) || unicode.IsMark(r) || strings.ContainsRune("_-./°·'", r)
}

// inName reports whether a word inside an expression may hold the character: as
// isWord, but no operator.
func inName(r rune) bool { return r == '_' || isWord(r) && !strings.ContainsRune("-./·", r) }

// quoted reads the text in quotation marks at i: a mark that stands doubled inside stands
// for itself, of whichever form it is.
func quoted(in []rune, i int) (text string, end int, closed bool) {
	var b strings.Builder
	for i++; i < len(in); i++ {
		if !isQuote(in[i]) {
			b.WriteRune(in[i])
			continue
		}
		if i+1 < len(in) && in[i+1] == in[i] {
			b.WriteRune(in[i])
			i++
			continue
		}
		return b.String(), i + 1, true
	}
	return b.String(), i, false
}

// quote writes a text in quotation marks, each mark in it doubled.
func quote(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		if isQuote(r) {
			b.WriteRune(r)
		}
		b.WriteRune(r)
	}
	b.WriteByte('"')
	return b.String()
}

type tokenKind uint8

const (
	endToken tokenKind = iota
	wordToken
	numberToken
	quoteToken
	openQuoteToken // never closed
	commaToken
	markToken // an operator, a bracket, or anything else
)

// token is one scanned piece; start and end are 0-based character offsets.
type token struct {
	kind       tokenKind
	text       string // lower case for a word, without marks for a quotation
	number     float64
	start, end int
	glued      bool // nothing between it and the token before
}

// scan reads a whole command; the last token is always an endToken.
func scan(in []rune) []token { return scanFrom(in, 0, false) }

// scanFrom reads from a character on. In an expression a word holds no operator and
// a number no sign.
func scanFrom(in []rune, start int, expression bool) []token {
	var out []token
	for i := start; ; {
		from := i
		for i < len(in) && unicode.IsSpace(in[i]) {
			i++
		}
		t := token{start: i, end: i, glued: i == from && len(out) > 0}
		if i == len(in) {
			return append(out, t)
		}
		scanOne(in, &t, expression)
		i = t.end
		out = append(out, t)
	}
}

func scanOne(in []rune, t *token, expression bool) {
	i := t.start
	r := in[i]
	inWord := isWord
	if expression {
		inWord = inName
	}
	if end := numberEnd(in, i, !expression && (!t.glued || !isWord(in[max(i-1, 0)]))); end > i {
		t.kind, t.end = numberToken, end
		t.text = strings.Replace(string(in[i:end]), "−", "-", 1)
		t.number = parseFloat(t.text)
		return
	}
	switch {
	case isQuote(r) && (opensAt(in, i) || !inWord(in[i-1]) && !isQuote(in[i-1])):
		var closed bool
		t.kind = quoteToken
		if t.text, t.end, closed = quoted(in, i); !closed {
			t.kind = openQuoteToken
		}
	case r == ',':
		t.kind, t.text, t.end = commaToken, ",", i+1
	case inWord(r):
		for t.end = i; t.end < len(in) && inWord(in[t.end]); t.end++ {
		}
		t.kind, t.text = wordToken, strings.ToLower(string(in[i:t.end]))
	default:
		t.kind, t.text, t.end = markToken, string(r), i+1
		if i+1 < len(in) && (r == '<' || r == '>') && in[i+1] == '=' {
			t.text, t.end = string(r)+"=", i+2
		}
		switch r {
		case '≤':
			t.text = "<="
		case '≥':
			t.text = ">="
		}
	}
}

func parseFloat(s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// numberEnd is the end of the number at i (1, 1.5, .5, 1e3, a sign before it), or i.
func numberEnd(in []rune, i int, sign bool) int {
	digits := func(k int) int {
		for k < len(in) && in[k] >= '0' && in[k] <= '9' {
			k++
		}
		return k
	}
	k := i
	if sign && (in[k] == '-' || in[k] == '−') {
		k++
	}
	whole := digits(k)
	end := whole
	if whole < len(in) && in[whole] == '.' {
		if part := digits(whole + 1); part > whole+1 {
			end = part
		}
	}
	if end == k {
		return i
	}
	if end < len(in) && (in[end] == 'e' || in[end] == 'E') {
		power := end + 1
		if power < len(in) && strings.ContainsRune("+-−", in[power]) {
			power++
		}
		if e := digits(power); e > power && !strings.ContainsRune(string(in[end:power]), '−') {
			end = e
		}
	}
	return end
}
