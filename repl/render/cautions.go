package render

import (
	"slices"
	"strconv"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// cautionText is a caution as it is shown: its head ("Caution 2") and what it says.
type cautionText struct{ Head, Text string }

// numberedCautions are the cautions that an entry tells in full, and a remark that names those told
// in full by an earlier entry: "(caution 2)", "(cautions 2 and 5)"; "" for none.
func numberedCautions(e page.Entry, o Options) (full []cautionText, again string) {
	var numbers []string
	for _, text := range distinctCautions(e, o) {
		at := slices.IndexFunc(e.Cautions, func(c page.Sentence) bool { return sentence(c, o) == text })
		head := "Caution"
		if at >= 0 && at < len(e.Numbered) && e.Numbered[at].N > 0 {
			n := strconv.Itoa(e.Numbered[at].N)
			if e.Numbered[at].Again {
				numbers = lists.With(numbers, n)
				continue
			}
			head += " " + n
		}
		full = append(full, cautionText{head, text})
	}
	switch n := len(numbers); {
	case n == 1:
		again = "(caution " + numbers[0] + ")"
	case n > 1:
		again = "(cautions " + strings.Join(numbers[:n-1], ", ") + " and " + numbers[n-1] + ")"
	}
	return full, again
}

// distinctCautions are the texts of the cautions, each once.
func distinctCautions(e page.Entry, o Options) []string {
	var out []string
	for _, c := range e.Cautions {
		if text := sentence(c, o); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}
