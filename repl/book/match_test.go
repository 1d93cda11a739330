package book

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// longest is the length of the longest common run, by its definition.
func longest(a, b []string) int {
	if len(a) == 0 || len(b) == 0 {
		return 0
	}
	if a[0] == b[0] {
		return 1 + longest(a[1:], b[1:])
	}
	return max(longest(a[1:], b), longest(a, b[1:]))
}

// inOrder checks that matches pair equal commands and rise in both runs.
func inOrder(t interface{ Fatalf(string, ...any) }, ms []match, a, b []string) {
	last := match{-1, -1}
	for _, m := range ms {
		if m.before <= last.before || m.after <= last.after || a[m.before] != b[m.after] {
			t.Fatalf("%v after %v is no pair", m, last)
		}
		last = m
	}
}

func TestMatchedPairsAsManyAsCanBe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SampledFrom([]string{"look", "rows", "fit", "note"})
		a, b := rapid.SliceOfN(word, 0, 9).Draw(t, "a"), rapid.SliceOfN(word, 0, 9).Draw(t, "b")
		got := matched(a, b)
		inOrder(t, got, a, b)
		if want := longest(a, b); len(got) != want {
			t.Fatalf("%d pairs of %v and %v, want %d", len(got), a, b, want)
		}
	})
}

// Two long runs that differ all over cost neither a table of one against the other nor
// the pairs they have.
func TestMatchedOfLongRuns(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const n = 20000
	var distinct, changed []string
	for i := range n {
		distinct = append(distinct, fmt.Sprint("note ", i))
		if i%3 > 0 {
			changed = append(changed, distinct[i])
		}
		if i%5 == 0 {
			changed = append(changed, fmt.Sprint("heading ", i))
		}
	}
	few := func() []string {
		out := make([]string, n)
		for i := range out {
			out[i] = strings.Repeat("x", r.IntN(4))
		}
		return out
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	got := matched(distinct, changed)
	inOrder(t, got, distinct, changed)
	if want := n - (n+2)/3; len(got) != want {
		t.Errorf("%d pairs, want %d", len(got), want)
	}
	a, b := few(), few()
	got = matched(a, b)
	inOrder(t, got, a, b)
	// A quarter of two random runs of four words stands at the same place; far more can be paired.
	if share := float64(len(got)) / n; share < 0.6 {
		t.Errorf("only %.3f of two random runs are paired", share)
	}
	runtime.ReadMemStats(&after)
	if used := after.TotalAlloc - before.TotalAlloc; used > 400<<20 {
		t.Errorf("matching allocated %d MiB", used>>20)
	}
}

// The longest rising part of a list is as long as the best part that ends at any of its
// places, each found from all before it (Schensted 1961 counts it otherwise); and it rises.
func TestRisingIsTheLongestPartThatRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		after := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}).Draw(t, "after")
		var all []match
		best, want := make([]int, len(after)), 0
		for n, a := range after {
			all = append(all, match{n, a})
			for before := range n {
				if after[before] < a {
					best[n] = max(best[n], best[before])
				}
			}
			best[n]++
			want = max(want, best[n])
		}
		got := rising(all)
		for n, m := range got {
			if after[m.before] != m.after || n > 0 && (m.before <= got[n-1].before || m.after <= got[n-1].after) {
				t.Fatalf("%v of %v does not rise", got, after)
			}
		}
		if len(got) != want {
			t.Fatalf("%d of %v rise, want %d", len(got), after, want)
		}
	})
}
