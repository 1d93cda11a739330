package figures

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
)

// lightness is CIE 1976 L* of an sRGB colour, 0 to 100 (IEC 61966-2-1 for the
// transfer curve, CIE 15:2004 for L*).
func lightness(c color.NRGBA) float64 {
	part := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	y := 0.2126*part(c.R) + 0.7152*part(c.G) + 0.0722*part(c.B)
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// The least lightness between two looks in grey print: among the first two, the
// first three and all six.
func TestGreysStayApart(t *testing.T) {
	for _, c := range []struct {
		looks int
		least float64
	}{{2, 40}, {3, 20}, {6, 9}} {
		for i := range c.looks {
			for j := range i {
				if d := math.Abs(lightness(colourOf(i)) - lightness(colourOf(j))); d < c.least {
					t.Errorf("looks %d and %d differ by %.1f in lightness, less than %g", j, i, d, c.least)
				}
			}
		}
	}
}

func TestEdgesStandOutFromPaper(t *testing.T) {
	for look := range palette {
		if d := lightness(paper) - lightness(edgeOf(look)); d < 40 {
			t.Errorf("the edge of look %d is only %.1f darker than the paper", look, d)
		}
	}
}

func TestNoTwoLooksAreAlike(t *testing.T) {
	seen := map[string]int{}
	for look := range 30 {
		is := fmt.Sprint(colourOf(look), shapeOf(look)(vg.Point{}, 10))
		if other, ok := seen[is]; ok {
			t.Errorf("looks %d and %d are the same", other, look)
		}
		seen[is] = look
	}
}

// A thin line needs 3 : 1 against the paper (WCAG 2.1, criterion 1.4.11).
func TestLinesStandOutFromPaper(t *testing.T) {
	for look := range palette {
		a, b := contrast(lineOf(look)), contrast(colourOf(look))
		if a < 3 || b >= 3 && a != b {
			t.Errorf("a line of look %d has %.2f to 1, its colour %.2f", look, a, b)
		}
	}
	if c := contrast(color.NRGBA{0, 0, 0, 255}); math.Abs(c-21) > 1e-9 {
		t.Errorf("black on white has %g to 1, want 21", c)
	}
}

// A mark that stands back is paler than one in front, and its edge still has 3 : 1 (WCAG 2.1, criterion 1.4.11).
func TestPaleMarksStandOutFromPaper(t *testing.T) {
	for look := range palette {
		pale, full := contrast(paleEdgeOf(look)), contrast(edgeOf(look))
		if pale < 3 || pale >= full {
			t.Errorf("the edge of a pale mark of look %d has %.2f to 1, that of a full one %.2f", look, pale, full)
		}
	}
}
