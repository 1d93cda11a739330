package figures

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// palette is the "medium-contrast" scheme of Paul Tol, "Colour Schemes", SRON technical note SRON/EPS/TN/09-002, issue
// 3.2, 2021, figure 5: six colours kept apart for colour-blind readers and in grey. They are put in an order of our
// own, so that the first ones lie farthest apart in lightness.
var palette = []color.NRGBA{
	{0x99, 0x44, 0x55, 0xFF}, // dark red
	{0xEE, 0xCC, 0x66, 0xFF}, // light yellow
	{0x66, 0x99, 0xCC, 0xFF}, // light blue
	{0x00, 0x44, 0x88, 0xFF}, // dark blue
	{0xEE, 0x99, 0xAA, 0xFF}, // light red
	{0x99, 0x77, 0x00, 0xFF}, // dark yellow
}

// deep is the colour of what was found to differ, one of the palette.
var deep = palette[3]

// The theme's greys, from the paper to the ink.
var (
	paper  = color.NRGBA{0xFF, 0xFF, 0xFF, 0xFF}
	faint  = color.NRGBA{0xE3, 0xE3, 0xE3, 0xFF} // grid
	quiet  = color.NRGBA{0x80, 0x80, 0x80, 0xFF} // axis lines
	shaded = color.NRGBA{0xEE, 0xEE, 0xEE, 0xFF} // a range of sizes under the marks
	soft   = color.NRGBA{0x4A, 0x4A, 0x4A, 0xFF} // tick labels, counts
	ink    = color.NRGBA{0x1C, 0x1C, 0x1C, 0xFF} // words, means and their ranges
)

// colourOf is the colour of a look; after the last colour it starts again, and the shape tells the looks apart.
func colourOf(look int) color.NRGBA {
	switch look {
	case page.NoLook:
		return ink
	case page.Grey:
		return quiet
	}
	return palette[look%len(palette)]
}

// edgeOf is the darker shade a look's marks and lines are edged with, so that the
// light colours stand out from the paper too.
func edgeOf(look int) color.NRGBA {
	return darker(colourOf(look), 0.55)
}

// darker is a colour with a part of its lightness.
func darker(c color.NRGBA, part float64) color.NRGBA {
	dark := func(v uint8) uint8 { return uint8(float64(v) * part) }
	return color.NRGBA{dark(c.R), dark(c.G), dark(c.B), 0xFF}
}

// leastContrast is how much lighter the paper is than a line at least, as WCAG 2.1 (criterion 1.4.11)
// asks of parts of a graphic.
const leastContrast = 3

// lineOf is the shade of a look's lines: its colour, darkened as far as a thin line needs to be seen.
func lineOf(look int) color.NRGBA {
	c := colourOf(look)
	for contrast(c) < leastContrast {
		c = darker(c, 0.97)
	}
	return c
}

// contrast is that of a colour with the paper (WCAG 2.1, contrast ratio of relative luminances).
func contrast(c color.NRGBA) float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 1.05 / (0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B) + 0.05)
}

// faintness is how much of its colour a mark keeps that stands back behind others.
const faintness = 0.4

// paleEdgeOf is the edge of a look's marks that stand back: as pale as it may be to be seen.
func paleEdgeOf(look int) color.NRGBA {
	strength := faintness
	for strength < 1 && contrast(towardsPaper(edgeOf(look), strength)) < leastContrast {
		strength += 0.02
	}
	return towardsPaper(edgeOf(look), min(strength, 1))
}

// towardsPaper takes a colour towards that of the paper: strength 1 leaves it as it is.
func towardsPaper(c color.NRGBA, strength float64) color.NRGBA {
	mix := func(v, p uint8) uint8 { return uint8(strength*float64(v) + (1-strength)*float64(p) + 0.5) }
	return color.NRGBA{mix(c.R, paper.R), mix(c.G, paper.G), mix(c.B, paper.B), c.A}
}

// tintOf is the see-through shade of a look's band.
func tintOf(look int) color.NRGBA {
	c := colourOf(look)
	c.A = 0x48
	if look == page.NoLook {
		c.A = 0x24
	}
	return c
}

// Measures of the theme at the default size, in points; scaled with the figure.
const (
	titleSize  = 10.5
	labelSize  = 9.0
	tickSize   = 8.0
	leastSize  = 4.5 // no text is smaller
	marginSize = 7.0
	tickLength = 3.0
	markRadius = 2.5
	leastMark  = 0.7
	lineWidth  = 1.4
	boldWidth  = 1.0
	hairWidth  = 0.5
	edgeWidth  = 0.5
)

// measures are the theme's sizes for one figure.
type measures struct {
	scale                float64
	title, label, tick   vg.Length // text
	margin, gap, tickLen vg.Length
}

// measure scales the theme to a figure: with the square root of its size, so that
// a small figure stays legible and a big one does not shout.
func measure(widthMM, heightMM float64) measures {
	s := rootOf(min(widthMM/defaultWidth, heightMM/defaultHeight))
	s = min(max(s, 0.6), 1.5)
	at := func(v float64) vg.Length { return vg.Points(v * s) }
	return measures{
		scale: s,
		title: at(titleSize), label: at(labelSize), tick: at(tickSize),
		margin: at(marginSize), gap: at(4), tickLen: at(tickLength),
	}
}
