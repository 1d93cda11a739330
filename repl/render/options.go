// Package render turns a page.Entry into what a person or a program reads: a terminal screen, JSON, Markdown or HTML.
// It is the only place where a number becomes text, so every medium shows the same figure in the same way.
package render

import (
	"context"
	"io"
	"strings"

	"github.com/mattn/go-runewidth"

	"breakbook/models/parallel"
)

// DefaultWidth is how many terminal columns prose is wrapped to when nothing else is known.
const DefaultWidth = 80

// DefaultDigits is how many significant digits a measured quantity shows.
const DefaultDigits = 4

// Options say how much of a number is shown and how wide the screen is. The zero
// value is the default: four significant digits, 80 columns, no colour.
type Options struct {
	Digits int  // significant digits of a measured quantity, 1 to 15; 0: DefaultDigits
	Width  int  // terminal columns; 0: DefaultWidth
	Height int  // lines of the terminal, of which a result takes as few, or its 24; 0: not known
	Color  bool // bold, faint and two colours that read on dark and on light screens
	Plain  bool // the terminal has only the letters of ASCII, of which a sketch is then made
	// Context ends the work on a long table, with its cause as the error; nil: it does not end.
	Context context.Context
}

// look leaves the work once its context is done; to be called for every row of a table.
func (o Options) look(row int) {
	if o.Context != nil {
		parallel.LookAt(o.Context, row)
	}
}

type stoppableWriter struct {
	o     Options
	w     io.Writer
	times int
}

func (h *stoppableWriter) Write(text []byte) (int, error) {
	h.o.look(h.times)
	h.times++
	return h.w.Write(text)
}

func (o Options) digits() int {
	if o.Digits <= 0 {
		return DefaultDigits
	}
	return min(o.Digits, 15)
}

func (o Options) width() int {
	if o.Width <= 0 {
		return DefaultWidth
	}
	return o.Width
}

// lines is how many lines of a screen a result takes: what is left out stands in the whole result.
func (o Options) lines() int {
	const most, least = 24, 12
	if o.Height <= 0 {
		return most
	}
	return max(min(o.Height, most), least)
}

const (
	hardSpace = "\u00a0" // between a number and its unit: prose is not broken there
	padding   = "\ue000" // stands for one digit's width of nothing, to align decimal points
	missing   = "–"      // a number that does not exist, in a table
)

// columns measures text the way most terminals do, whatever the locale says of characters of undecided width.
var columns = &runewidth.Condition{}

// screenWidth is how many columns of a terminal a text takes. What breakbook writes itself is
// counted; columns makes a table of all there is before its first rarer character.
func screenWidth(s string) int {
	n := 0
	for _, r := range s {
		if !narrow(r) {
			return columns.StringWidth(s)
		}
		n++
	}
	return n
}

// narrow reports whether a character is one of many that take one column wherever they stand:
// Latin and Greek letters, dashes, quotes, raised figures, arrows, signs of arithmetic, lines and blocks.
func narrow(r rune) bool {
	switch {
	case r < 0x7f:
		return r >= ' '
	case r < 0x300:
		return r >= 0xa0 && r != 0xad
	}
	return r >= 'Α' && r <= 'ω' || r >= '‐' && r <= '‧' || r >= '⁰' && r <= '₎' || r >= '∀' && r <= '⋿' ||
		r >= '─' && r <= '▟' || r == '→' || r == '\ue000'
}

// soft turns the marks used while laying out into plain blanks.
func soft(s string) string { return softened.Replace(s) }

var softened = strings.NewReplacer(hardSpace, " ", padding, " ")
