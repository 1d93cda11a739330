package kernel

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// madeIn reports whether a column's name says that specimens were made in batches:
// board, batch or day, on its own or as a word of it (test_day).
func madeIn(name string) bool {
	return slices.ContainsFunc(strings.Split(name, "_"), func(word string) bool {
		return word == "board" || word == "batch" || word == "day"
	})
}

// blockCautions warn when specimens come from boards, batches or days that the analysis
// does not know of: they are the real units.
func (k *call) blockCautions(s *sample, used []string) []page.Sentence {
	var out []page.Sentence
	for _, c := range s.frame.Columns() {
		if slices.Contains(used, c.Name) || !(c.Role == frames.Block || madeIn(c.Name)) {
			continue
		}
		seen := map[string]bool{}
		for row := range s.frame.Len() {
			if text, ok := s.frame.Cell(c.Name, row); ok {
				seen[text] = true
			}
		}
		if len(seen) > 1 && len(seen) < s.frame.Len() {
			out = append(out, say.Blocks(s.frame.Len(), len(seen), c.Name))
		}
	}
	return out
}

// looked counts one more test of the response: the report states how many there were.
func (k *call) looked(r *response) *Session {
	n := k.s.clone()
	n.looks[k.e.Series+": "+r.name()]++
	return n
}
