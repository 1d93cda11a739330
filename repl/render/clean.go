package render

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
)

// Clean makes a line of text safe to show, wherever it came from: a file, a book, a file's name, what was typed. Line
// breaks and tabs become blanks; every other control character (a terminal takes orders by them: clear the screen, fill
// the clipboard), every mark that turns the writing direction or cannot be seen, and every byte that is no UTF-8 become
// the replacement character. A character stays one character.
func Clean(s string) string { return strings.Map(cleaned, s) }

func clean(s string) string { return Clean(s) }

func cleaned(r rune) rune {
	switch {
	case r == '\t' || r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029':
		return ' '
	case unsafe(r):
		return unicode.ReplacementChar
	}
	return r
}

// unsafe reports whether a character could do something to a screen other than stand
// there. The joiners that scripts are written with, and the soft hyphen, stay.
func unsafe(r rune) bool {
	switch r {
	case '\u00ad', '\u200c', '\u200d':
		return false
	case '\ue000': // what padding is made of
		return true
	}
	return unicode.IsControl(r) || unicode.Is(unicode.Cf, r)
}

// CleanText is Clean for a text of several lines, which stay lines. The colours that
// this package paints with pass where color is true.
func CleanText(s string, color bool) string {
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		if !color {
			lines[i] = Clean(line)
			continue
		}
		lines[i] = betweenColours(line)
	}
	return strings.Join(lines, "\n")
}

// betweenColours cleans what stands between the colours of a line.
func betweenColours(line string) string {
	var b strings.Builder
	for line != "" {
		at, length := len(line), 0
		for _, c := range []string{bold, faint, caution, failure, plain} {
			if i := strings.Index(line, c); i >= 0 && i < at {
				at, length = i, len(c)
			}
		}
		b.WriteString(Clean(line[:at]))
		b.WriteString(line[at : at+length])
		line = line[at+length:]
	}
	return b.String()
}

// escaped writes in JSON what Clean would replace in the JSON's own way, so that a
// screen is safe and a program reads what was there.
func escaped(json []byte) []byte {
	escape := func(r rune) bool { return unsafe(r) || r == '\u2028' || r == '\u2029' }
	if !bytes.ContainsFunc(json, escape) {
		return json
	}
	var b strings.Builder
	for _, r := range string(json) {
		switch {
		case !escape(r):
			b.WriteRune(r)
		case r > 0xffff:
			high, low := (r-0x10000)>>10+0xd800, (r-0x10000)&0x3ff+0xdc00
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return []byte(b.String())
}
