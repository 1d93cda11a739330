package parser

import (
	"strings"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/scan"
)

// outdated is the error for a word that the language had before it was given a better one:
// the message names the new word, the hint is the whole line put right. Nil where the line
// has none.
func outdated(in []rune, toks []scan.Token) *phrase.Error {
	words := func(from int, wanted ...string) bool {
		for k, w := range wanted {
			if from < 0 || from+k >= len(toks) || toks[from+k].Kind != scan.Word || toks[from+k].Text != w {
				return false
			}
		}
		return true
	}
	says := func(from int, old, now, line string) *phrase.Error {
		return &phrase.Error{Code: "outdated-word", At: toks[from].Start + 1, Hint: phrase.Try(line),
			Message: inQuotes(old) + " is now " + inQuotes(now)}
	}
	rest := func(from int) string { return string(in[toks[from].Start:]) }
	if words(0, "work", "out") {
		for k := range toks[:len(toks)-1] {
			for old, now := range map[string]string{"least": "smallest", "most": "largest"} {
				if words(k, old) && toks[k+1].Kind == scan.Mark && toks[k+1].Text == "(" {
					return says(k, old, now, string(in[:toks[k].Start])+now+rest(k+1))
				}
			}
		}
	}
	last := len(toks) - 2 // before the end
	switch {
	case words(0, "ranges"):
		return says(0, "ranges", "confidence", strings.TrimSpace("confidence "+rest(1)))
	case words(0, "line", "up"):
		line := "put " + rest(2)
		if len(toks) == 3 {
			e := says(0, "line up A, B by COLUMN", "put A beside B by COLUMN", "")
			e.Hint = "write put SERIES beside SERIES by COLUMN as NAME"
			return e
		}
		if first, second, two := strings.Cut(line, ","); two {
			line = strings.TrimRight(first, " ") + " beside " + strings.TrimLeft(second, " ")
		}
		return says(0, "line up A, B by COLUMN", "put A beside B by COLUMN", line)
	case words(0, "mark") && words(last-1, "as", "found"):
		return says(last, "found", "given", string(in[:toks[last].Start])+"given")
	}
	return nil
}
