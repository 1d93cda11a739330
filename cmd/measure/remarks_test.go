package main

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"breakbook/cmd/measure/handkept"
)

// Of 200 clean sheets nothing is said; of the kept table, which has 1,000 of each kind, a part is
// counted again.
func TestNothingIsSaidOfCleanSheets(t *testing.T) {
	counts(t)
	for n := range uint64(200) {
		all, err := cleanRemarks(t.Context(), 1+n+1<<48)
		if err != nil {
			t.Fatal(err)
		}
		if len(all) > 0 {
			t.Errorf("sheet %d: %+v", n, all)
		}
	}
}

// The first hundred of the kept table's thousand sheets of each kind are counted again: no more are missed
// than the table has in all, and no more or fewer than a draw of a hundred of the thousand has in 999 of 1,000.
func TestKeptRemarks(t *testing.T) {
	counts(t)
	lines := measured(t, "remarks.txt")
	for i, f := range handkept.Faults {
		kept := strings.Fields(lineOf(t, lines, f.Name))
		if len(kept) != 4 || kept[0] != "1000" {
			t.Fatalf("%s: the table has %q", f.Name, kept)
		}
		all, err := strconv.Atoi(kept[1])
		if err != nil || all < 950 {
			t.Errorf("%s: %s of 1000 were found, %v; 95 in 100 are asked", f.Name, kept[1], err)
		}
		const sheets = 100
		missed := 0
		for n := range uint64(sheets) {
			is, _, err := remarked(t.Context(), f, 1+n+uint64(i)<<32)
			if err != nil {
				t.Fatal(err)
			}
			missed += 1 - is
		}
		least, most := drawn(1000-all, 1000, sheets, 0.0005)
		if missed < least || missed > most {
			t.Errorf("%s: %d of %d were missed, and %d of the table's 1000: %d to %d are expected", f.Name, missed,
				sheets, 1000-all, least, most)
		}
	}
}

// drawn is between what a draw of n of all, so many of which are marked, has of the marked but for a chance
// of less than tail at either end (the hypergeometric distribution).
func drawn(marked, all, n int, tail float64) (least, most int) {
	chance := func(k int) float64 {
		choose := func(n, k int) float64 {
			a, _ := math.Lgamma(float64(n + 1))
			b, _ := math.Lgamma(float64(k + 1))
			c, _ := math.Lgamma(float64(n - k + 1))
			return a - b - c
		}
		if k > marked || n-k > all-marked {
			return 0
		}
		return math.Exp(choose(marked, k) + choose(all-marked, n-k) - choose(all, n))
	}
	for sum := chance(0); sum < tail; sum += chance(least) {
		least++
	}
	most = min(marked, n)
	for sum := chance(most); sum < tail && most > 0; sum += chance(most) {
		most--
	}
	return least, most
}

// The bounds of a hypergeometric draw by scipy 1.10.1: hypergeom(1000, 47, 100).ppf([0.0005, 0.9995]) and so on.
func TestDrawn(t *testing.T) {
	for _, c := range [][3]int{{0, 0, 0}, {1, 0, 1}, {5, 0, 3}, {26, 0, 9}, {47, 0, 12}, {200, 8, 33}} {
		if least, most := drawn(c[0], 1000, 100, 0.0005); least != c[1] || most != c[2] {
			t.Errorf("%d marked: %d to %d, want %d to %d", c[0], least, most, c[1], c[2])
		}
	}
}
