package phrase

import (
	"strings"
	"unicode"

	"breakbook/repl/phrase/scan"
)

// WithFile is a command with another path in place of the one typed at the 1-based
// character at: a hint that can be typed as it stands.
func WithFile(input string, at int, path string) string {
	in := []rune(input)
	start := at - 1
	if start < 0 || start >= len(in) {
		return input
	}
	end := start
	if scan.IsQuote(in[start]) && scan.OpensAt(in, start) {
		_, end, _ = scan.Unquote(in, start)
	} else {
		for end < len(in) && !unicode.IsSpace(in[end]) {
			end++
		}
		end = start + len([]rune(strings.TrimRight(string(in[start:end]), ",")))
	}
	return string(in[:start]) + asTyped(path) + string(in[end:])
}

// asTyped is a path as it can be typed: in quotation marks where it has to be.
func asTyped(path string) string {
	plain := path != "" && !strings.HasSuffix(path, ",") && !strings.ContainsFunc(path, func(r rune) bool {
		return unicode.IsSpace(r) || scan.IsQuote(r) || r == ';' || r == '#'
	})
	if plain {
		return path
	}
	return `"` + strings.ReplaceAll(path, `"`, `""`) + `"`
}

// WithSheet is a command that opens a workbook with the sheet named that it left open.
func WithSheet(input, sheet string) string {
	return strings.TrimRightFunc(input, unicode.IsSpace) + " sheet " + scan.Quoted(sheet)
}
