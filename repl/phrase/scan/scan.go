// Package scan cuts a command into words, numbers, quoted texts and marks. The characters
// come in; out go tokens with the places they stand at. It also says how a name is matched
// against what was typed, and which characters a bare word may hold.
package scan

import (
	"math"
	"strconv"
	"strings"
	"unicode"
)

// IsQuote reports whether a character is a quotation mark of any form.
func IsQuote(r rune) bool { return r == '"' || r == '“' || r == '”' || r == '„' }

// OpensAt reports whether the quotation mark or # at i stands where a word could
// start, so that the inch mark of 1/2" and the # of file#2 are plain characters.
func OpensAt(in []rune, i int) bool {
	return i == 0 || !IsWord(in[i-1]) && !IsQuote(in[i-1])
}

// IsWord reports whether a bare word may hold the character.
func IsWord(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsNumber(r) || unicode.IsMark(r) || strings.ContainsRune("_-./°·'", r)
}

// InName reports whether a word inside an expression may hold the character: as
// isWord, but no operator.
func InName(r rune) bool { return r == '_' || IsWord(r) && !strings.ContainsRune("-./·", r) }

// Unquote reads the text in quotation marks at i: a mark that stands doubled inside stands
// for itself, of whichever form it is.
func Unquote(in []rune, i int) (text string, end int, closed bool) {
	var b strings.Builder
	for i++; i < len(in); i++ {
		if !IsQuote(in[i]) {
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

// Quoted writes a text in quotation marks, each mark in it doubled.
func Quoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		if IsQuote(r) {
			b.WriteRune(r)
		}
		b.WriteRune(r)
	}
	b.WriteByte('"')
	return b.String()
}

// Kind is what a token is.
type Kind uint8

const (
	End Kind = iota
	Word
	Number
	Quote
	OpenQuote // never closed
	Comma
	Mark // an operator, a bracket, or anything else
)

// Token is one scanned piece; Start and End are 0-based character offsets.
type Token struct {
	Kind       Kind
	Text       string // lower case for a word, without marks for a quotation
	Number     float64
	Start, End int
	Glued      bool // nothing between it and the token before
}

// Tokens reads a whole command; the last token is always an endToken.
func Tokens(in []rune) []Token { return TokensFrom(in, 0, false) }

// TokensFrom reads from a character on. In an expression a word holds no operator and
// a number no sign.
func TokensFrom(in []rune, start int, expression bool) []Token {
	var out []Token
	for i := start; ; {
		from := i
		for i < len(in) && unicode.IsSpace(in[i]) {
			i++
		}
		t := Token{Start: i, End: i, Glued: i == from && len(out) > 0}
		if i == len(in) {
			return append(out, t)
		}
		scanOne(in, &t, expression)
		i = t.End
		out = append(out, t)
	}
}

func scanOne(in []rune, t *Token, expression bool) {
	i := t.Start
	r := in[i]
	inWord := IsWord
	if expression {
		inWord = InName
	}
	if end := numberEnd(in, i, !expression && (!t.Glued || !IsWord(in[max(i-1, 0)]))); end > i {
		t.Kind, t.End = Number, end
		t.Text = strings.Replace(string(in[i:end]), "−", "-", 1)
		t.Number = Float(t.Text)
		return
	}
	switch {
	case IsQuote(r) && (OpensAt(in, i) || !inWord(in[i-1]) && !IsQuote(in[i-1])):
		var closed bool
		t.Kind = Quote
		if t.Text, t.End, closed = Unquote(in, i); !closed {
			t.Kind = OpenQuote
		}
	case r == ',':
		t.Kind, t.Text, t.End = Comma, ",", i+1
	case inWord(r):
		for t.End = i; t.End < len(in) && inWord(in[t.End]); t.End++ {
		}
		t.Kind, t.Text = Word, strings.ToLower(string(in[i:t.End]))
	default:
		t.Kind, t.Text, t.End = Mark, string(r), i+1
		if i+1 < len(in) && (r == '<' || r == '>') && in[i+1] == '=' {
			t.Text, t.End = string(r)+"=", i+2
		}
		switch r {
		case '≤':
			t.Text = "<="
		case '≥':
			t.Text = ">="
		}
	}
}

// Float is the number of a text, NaN where it is none.
func Float(s string) float64 {
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
