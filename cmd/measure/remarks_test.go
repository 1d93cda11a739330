package main

import (
	"strings"
	"testing"

	"breakbook/cmd/measure/handkept"
)

// Of 200 clean sheets nothing is said; of the kept table, which has 1,000 of each kind, a part is
// counted again.
func TestNothingIsSaidOfCleanSheets(t *testing.T) {
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

func TestKeptRemarks(t *testing.T) {
	lines := measured(t, "remarks.txt")
	for i, f := range handkept.Faults {
		kept := strings.Fields(lineOf(t, lines, f.Name))
		if len(kept) != 4 || kept[0] != "1000" {
			t.Fatalf("%s: the table has %q", f.Name, kept)
		}
		const sheets = 100
		found := 0
		for n := range uint64(sheets) {
			is, _, err := remarked(t.Context(), f, 1+n+uint64(i)<<32)
			if err != nil {
				t.Fatal(err)
			}
			found += is
		}
		if found < 84 {
			t.Errorf("%s: found in %d of %d", f.Name, found, sheets)
		}
	}
}
