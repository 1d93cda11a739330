package drove

import (
	"math"
	"slices"
	"strings"
	"testing"

	"breakbook/cmd/measure/typed"
	"breakbook/repl/page"
)

// Where `what drove` comes to the model of the truth, it and the best analysis are two ways to the same
// probabilities and answers. Where its search lets in a term that does nothing they part, which is rare. With
// boards each difference of two levels has degrees of freedom of its own, and a joint test takes the fewest of
// those from the first level; the two put the levels in different orders, and part in the fourth digit. Where a search
// finds more than chance often shows, what goes with it is not told to do nothing, and the answers part.
func TestBestIsTheSameWhereTheModelIs(t *testing.T) {
	const series = 12
	for name, least := range map[string]int{"one factor": 10, "combined": 8, "boards": 10, "uneven, spoiled": 10} {
		k, off := kind(t, name), 1e-8
		if k.boards > 0 {
			off = 2e-3
		}
		same := 0
		for seed := range uint64(series) {
			s := k.invent(seed)
			best, err := k.taken(s).best(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			e, err := typed.Ask(t.Context(), s.CSV, k.asked())
			if err != nil {
				t.Fatal(err)
			}
			given, err := k.read(e)
			if err != nil {
				t.Fatal(err)
			}
			all := !slices.ContainsFunc(e.Findings, func(s page.Sentence) bool {
				return strings.Contains(wordsOf(s), "more than chance often shows")
			})
			for f := range best {
				all = all && math.Abs(best[f].p-given[f].p) <= off*best[f].p
				if all && best[f].answer != given[f].answer {
					t.Errorf("%s, series %d, %s: %v, by the best %v", name, seed, k.factors[f].name, given[f], best[f])
				}
			}
			if all {
				same++
			}
		}
		if same < least {
			t.Errorf("%s: %d of %d series have the same probabilities, want %d or more", name, same, series, least)
		}
	}
}
