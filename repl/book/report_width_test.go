package book

import (
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"breakbook/repl/page"
)

// The picture of the answer stands in half a page and is drawn no wider than that; the others keep their width.
func TestOnlyThePictureOfTheAnswerIsDrawnNarrower(t *testing.T) {
	width := regexp.MustCompile(`<img src="[^>]*?width=%22([0-9.]+)pt`)
	for _, c := range []struct {
		wide float64
		want []float64
	}{{160, []float64{112, 160}}, {113, []float64{112, 113}}, {112, []float64{112, 112}}, {90, []float64{90, 90}}} {
		path := filepath.Join(t.TempDir(), "gates.html")
		d := sampleDocument()
		one := d.Entries[5].Figures[0]
		one.WidthMM = c.wide
		other := one
		other.Title = "The same once more"
		d.Entries[5].Figures = []page.Figure{one, other}
		if err := writeReport(path, d); err != nil {
			t.Fatal(err)
		}
		var got []float64
		for _, m := range width.FindAllStringSubmatch(content(t, path), -1) {
			points, err := strconv.ParseFloat(m[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, math.Round(points*25.4/72)) // an inch is 25.4 mm and 72 points
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%g mm: %g, want %g", c.wide, got, c.want)
		}
	}
}
