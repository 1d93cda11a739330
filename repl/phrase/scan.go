package phrase

import (
	"strings"
	"unicode"

	"breakbook/repl/phrase/scan"
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
		case scan.IsQuote(r) && scan.OpensAt(in, i):
			_, end, closed := scan.Unquote(in, i)
			if !closed {
				return nil, false, Unclosed(i + 1)
			}
			keep(i, in[i:end]...)
			i = end - 1
		case r == ';':
			flush()
		case r == '#' && scan.OpensAt(in, i):
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

func Unclosed(at int) *Error {
	return &Error{Code: "unclosed-quote", Message: "this quotation mark is never closed", At: at,
		Hint: `end the text with "`}
}
