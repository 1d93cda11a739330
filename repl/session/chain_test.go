package session

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// A chain must hold what a slice does that is copied at every step.
func TestChainIsAListThatNeverChanges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		chains, lists := []chain[int]{{}}, [][]int{nil}
		for range rapid.IntRange(0, 30).Draw(t, "steps") {
			i := rapid.IntRange(0, len(chains)-1).Draw(t, "of")
			c, l := chains[i], slices.Clone(lists[i])
			switch x := rapid.IntRange(0, 9).Draw(t, "item"); {
			case x < 7:
				c, l = c.with(x), append(l, x)
			case x == 7:
				c, l = c.keeping(func(x int) bool { return x%2 == 0 }),
					slices.DeleteFunc(l, func(x int) bool { return x%2 != 0 })
			default:
				last, before, ok := c.latest()
				if ok != (len(l) > 0) || ok && last != l[len(l)-1] {
					t.Fatalf("the latest of %v is %d, %t", l, last, ok)
				}
				if c = before; ok {
					l = l[:len(l)-1]
				}
			}
			chains, lists = append(chains, c), append(lists, l)
		}
		for i, c := range chains {
			if got := c.all(); c.len() != len(lists[i]) || !slices.Equal(got, lists[i]) {
				t.Fatalf("chain %d holds %v, want %v", i, got, lists[i])
			}
		}
	})
}
