package repl

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// wideBench is a session on a series of many rows and columns: names of specimens, numbers, and every
// fourth column one of levels.
func wideBench(b *testing.B, rows, columns int) *harness {
	b.Helper()
	path := filepath.Join(b.TempDir(), "wide.csv")
	f, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	w := bufio.NewWriter(f)
	fmt.Fprint(w, "Specimen,Break load (N)")
	for c := 2; c < columns; c++ {
		fmt.Fprintf(w, ",Property %d", c)
	}
	for r := range rows {
		fmt.Fprintf(w, "\nG%06d,%d", r, 200+r%300)
		for c := 2; c < columns; c++ {
			if c%4 == 0 {
				fmt.Fprintf(w, ",kind%d", (r+c)%9)
			} else {
				fmt.Fprintf(w, ",%d", (r*c)%97)
			}
		}
	}
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
	h := benchOf(b)
	if !h.feed(b.Context(), linesOf(strings.NewReader("open "+path+" as wide")), true, false) {
		b.Fatal(h.err.String())
	}
	h.out.Reset()
	return h
}

// BenchmarkCompletion is how long Tab takes on 100 000 specimens of 200 columns; it is to be under 20 ms.
func BenchmarkCompletion(b *testing.B) {
	h := wideBench(b, 100_000, 200)
	for _, line := range []string{"av", "average lo", "average load by prop", "rows for property_4 is k",
		"set aside specimen G0999", "correct load of G09", "fit load on property_2, property_3, ",
		"compare load by property_8 against ", "fit load on property_2 worth ", "open "} {
		b.Run(line, func(b *testing.B) {
			for b.Loop() {
				h.complete(line, len(line))
			}
		})
	}
}

// BenchmarkLineMeant is how long the search for the line meant takes there.
func BenchmarkLineMeant(b *testing.B) {
	h := wideBench(b, 10_000, 200)
	for _, line := range []string{"averge load by property_4",
		"plot load vs proprty_2", "fit load on property_2 property_3",
		"set aside specimen G01O00 because knot", "what on earth is the matter with load and property_7 and kind3"} {
		b.Run(line, func(b *testing.B) {
			for b.Loop() {
				h.feed(b.Context(), linesOf(strings.NewReader(line)), true, true)
				h.out.Reset()
				h.err.Reset()
			}
		})
	}
}
