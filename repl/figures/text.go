package figures

import (
	"context"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// sans is the one typeface of the theme; gonum/plot carries it.
var sans = font.Font{Typeface: "Liberation", Variant: "Sans"}

// Ascent and descent of the typeface in ems (its hhea table).
const (
	ascent  = 0.905
	descent = 0.212
	leading = 1.18 // from one line to the next
)

// letters says what a format can write.
type letters bool

const (
	ownLetters letters = false // only what the typeface holds
	anyLetters letters = true  // the viewer finds other letters (SVG)
)

// typesetter measures and cleans words for one figure.
type typesetter struct {
	letters letters
	buf     sfnt.Buffer
	ctx     context.Context // of the drawing: see heed
}

// faceOf is the typeface at a size.
func faceOf(size vg.Length) font.Face { return font.DefaultCache.Lookup(sans, size) }

// has reports whether the typeface holds a letter.
func (t *typesetter) has(r rune) bool {
	i, err := faceOf(1).Face.GlyphIndex(&t.buf, r)
	return err == nil && i != 0
}

// clean makes a text drawable: one line, composed letters, no control characters,
// and a box in place of each letter the format could only leave out.
func (t *typesetter) clean(s string) string {
	t.heed()
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Zl, unicode.Zp) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "□"))
	s = strings.Join(strings.Fields(norm.NFC.String(render.Clean(s))), " ")
	if t.letters == anyLetters {
		return s
	}
	var out strings.Builder
	for _, r := range s {
		out.WriteString(t.drawable(r))
	}
	return inWritingOrder(out.String())
}

// stands is what a sign of the trade is drawn as where the typeface lacks it.
var stands = map[rune]string{'⁻': "-", '⌀': "Ø", '∅': "Ø", '⊥': "perp.", '∥': "par.", '‐': "-", '‑': "-"}

// drawable is a letter as the typeface can draw it: a raised or lowered one as a plain one, "" for what has
// no width of its own, and a box for what it lacks.
func (t *typesetter) drawable(r rune) string {
	if t.has(r) {
		return string(r)
	}
	if unicode.In(r, unicode.Cf, unicode.Mn, unicode.Variation_Selector) {
		return ""
	}
	if plain, ok := stands[r]; ok {
		return plain
	}
	plain := norm.NFKC.String(string(r))
	for _, p := range plain {
		if !t.has(p) {
			return "□"
		}
	}
	return plain
}

// inWritingOrder is a text with its letters from left to right as they are read: those of scripts that run
// to the left are turned (Unicode Standard Annex 9).
func inWritingOrder(s string) string {
	if !strings.ContainsFunc(s, func(r rune) bool {
		p, _ := bidi.LookupRune(r)
		return p.Class() == bidi.R || p.Class() == bidi.AL
	}) {
		return s
	}
	var p bidi.Paragraph
	if _, err := p.SetString(s); err != nil {
		return s
	}
	order, err := p.Order()
	if err != nil {
		return s
	}
	var out strings.Builder
	for i := range order.NumRuns() {
		run := order.Run(i)
		words := run.String()
		if run.Direction() == bidi.RightToLeft {
			words = bidi.ReverseString(words)
		}
		out.WriteString(words)
	}
	return out.String()
}

// Lacking are the letters of a figure's words that the typeface of PNG and PDF has nothing to draw for, each
// once, in the order met.
func Lacking(ctx context.Context, f page.Figure) []string {
	any := &sheet{typesetter: typesetter{letters: anyLetters, ctx: ctx}}
	own := &typesetter{letters: ownLetters, ctx: ctx}
	c := any.cleaned(f)
	texts := []string{any.clean(render.Title(f, render.Options{})), c.KeyTitle, c.X.Label, c.Y.Label}
	texts = append(texts, c.X.Levels...)
	for _, k := range c.Keys {
		texts = append(texts, k.Label)
	}
	var out []string
	for _, r := range strings.Join(texts, "") {
		if r != '□' && own.drawable(r) == "□" && !slices.Contains(out, string(r)) {
			out = append(out, string(r))
		}
	}
	return out
}

// width of a text at a size. A letter that the viewer must find elsewhere is taken as one em wide.
func (t *typesetter) width(s string, size vg.Length) vg.Length {
	t.heed()
	strange := 0
	if t.letters == anyLetters {
		s = strings.Map(func(r rune) rune {
			if t.has(r) {
				return r
			}
			strange++
			return -1
		}, s)
	}
	face := faceOf(size)
	return face.Width(s) + vg.Length(strange)*size
}

// widest is the width of the widest of several lines.
func (t *typesetter) widest(lines []string, size vg.Length) vg.Length {
	var w vg.Length
	for _, l := range lines {
		w = max(w, t.width(l, size))
	}
	return w
}

// clip shortens a text to a width, with … where something is left out.
func (t *typesetter) clip(s string, size, most vg.Length) string {
	if t.width(s, size) <= most {
		return s
	}
	runes := []rune(s)
	lo, hi := 0, len(runes) // runes[:lo] fits, runes[:hi] does not
	for lo+1 < hi {
		mid := (lo + hi) / 2
		if t.width(strings.TrimRight(string(runes[:mid]), " ")+"…", size) <= most {
			lo = mid
		} else {
			hi = mid
		}
	}
	return strings.TrimRight(string(runes[:lo]), " ") + "…"
}

// wrap breaks a text into lines no wider than most, at blanks and after - / _ and
// brackets; fits tells whether at most n lines were enough.
func (t *typesetter) wrap(s string, size, most vg.Length, n int) (lines []string, fits bool) {
	line := ""
	for _, piece := range pieces(s) {
		longer := line + piece
		if line != "" && t.width(strings.TrimRight(longer, " "), size) > most {
			lines = append(lines, strings.TrimRight(line, " "))
			longer = piece
		}
		line = longer
	}
	lines = append(lines, strings.TrimRight(line, " "))
	return lines, len(lines) <= n && t.widest(lines, size) <= most
}

// block wraps a text into at most n lines and shortens what does not fit.
func (t *typesetter) block(s string, size, most vg.Length, n int) []string {
	if s == "" {
		return nil
	}
	lines, _ := t.wrap(s, size, most, n)
	if len(lines) > n {
		lines = append(lines[:n-1:n-1], strings.Join(lines[n-1:], " "))
	}
	for i, l := range lines {
		lines[i] = t.clip(l, size, most)
	}
	return lines
}

// pieces cuts a text where a line may break, each piece with what ends it.
func pieces(s string) []string {
	var out []string
	from := 0
	runes := []rune(s)
	for i, r := range runes {
		if i+1 < len(runes) && strings.ContainsRune(" -/_,;)", r) {
			out = append(out, string(runes[from:i+1]))
			from = i + 1
		}
	}
	return append(out, string(runes[from:]))
}
