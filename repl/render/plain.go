package render

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/runes"
	"golang.org/x/text/unicode/norm"

	"breakbook/repl/page"
)

// plainMarks are the marks and lines of a sketch in letters that every terminal has.
var plainMarks = strings.NewReplacer(oneSpecimen, "*", meanMark, "o", "├", "|", "┤", "|", "│", "|", "└", "+", "┬", "+",
	"─", "-", "−", "-", "…", "~", hardSpace, " ", "·", ".")

// plainLetters are letters of words whose plain ones are more than one, or do not come of taking marks off.
var plainLetters = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "Ä", "Ae", "Ö", "Oe", "Ü", "Ue", "ß", "ss", "µ",
	"u", "μ", "u", "°", "deg ", "−", "-", "–", "-", "ø", "o", "⌀", "dia ", "σ", "sigma", "ρ", "rho", "ε", "epsilon",
	"×", "x")

// plainWords are words in the 95 printable characters of ASCII, a question mark for each that has no plain one.
func plainWords(s string) string {
	s = norm.NFKD.String(plainLetters.Replace(norm.NFC.String(s)))
	return strings.Map(func(r rune) rune {
		if r > unicode.MaxASCII {
			return '?'
		}
		return r
	}, runes.Remove(runes.In(unicode.Mn)).String(s))
}

// inPlainLetters is a figure with its words so.
func inPlainLetters(f page.Figure) page.Figure {
	axis := func(a page.Axis) page.Axis {
		a.Label, a.Unit = plainWords(axisText(a)), ""
		a.Levels = slices.Clone(a.Levels)
		for i, l := range a.Levels {
			a.Levels[i] = plainWords(l)
		}
		return a
	}
	f.Title, f.X, f.Y = plainWords(f.Title), axis(f.X), axis(f.Y)
	f.Keys = slices.Clone(f.Keys)
	for i, k := range f.Keys {
		f.Keys[i].Label = plainWords(k.Label)
	}
	return f
}
