package render

import (
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
)

func TestProblem(t *testing.T) {
	e := page.Entry{Number: 4, Input: "fit 密度 on größe", Problem: &page.Problem{Code: "unknown-column",
		Message: "There is no column called größe in gates.", At: 11, Hint: "did you mean size?"}}
	want := "Entry 4: There is no column called größe in gates.\n" +
		"  fit 密度 on größe\n" +
		"              ^\n" +
		"  did you mean size?\n"
	if got := Problem(e, Options{}); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
	if got := screen(t, e, Options{}); got != want {
		t.Errorf("Terminal shows a problem otherwise:\n%s", got)
	}
}

// The caret stays under its place when the line is longer than the screen.
func TestProblemInALongLine(t *testing.T) {
	input := "fit load on " + strings.Repeat("density, ", 30) + "lod"
	for _, at := range []int{1, 13, 150, len(input) - 2} {
		e := page.Entry{Input: input, Problem: &page.Problem{Message: "No.", At: at}}
		lines := strings.Split(Problem(e, Options{Width: 60}), "\n")
		line, caret := []rune(lines[1]), strings.Index(lines[2], "^")
		if len(line) > 60 {
			t.Errorf("place %d: the line is %d wide", at, len(line))
		}
		if want := []rune(input)[at-1]; line[caret] != want {
			t.Errorf("place %d: the caret stands under %q, want %q\n%s\n%s", at, line[caret], want, lines[1], lines[2])
		}
	}
}

func TestProblemPastTheEnd(t *testing.T) {
	e := page.Entry{Input: "fit load on", Problem: &page.Problem{Message: "A term is missing.", At: 12}}
	if want := "A term is missing.\n  fit load on\n             ^\n"; Problem(e, Options{}) != want {
		t.Errorf("got:\n%s", Problem(e, Options{}))
	}
}

// A place near the end of a long line is shown with all of the line that has room before it.
func TestThePlaceNearTheEndOfALine(t *testing.T) {
	line := []rune(strings.Repeat("abcdefghij", 10))
	text, place := pointAt(line, 95, 60)
	if want := "…" + string(line[41:]); text != want || place != 55 {
		t.Errorf("place %d of %q, want 55 of %q", place, text, want)
	}
}

// A text of as many characters as are shown is shown whole, whatever bytes they take; one more, and its middle is left
// out.
func TestShortened(t *testing.T) {
	for _, letter := range []string{"a", "ß", "密"} {
		whole := strings.Repeat(letter, most)
		if got := shortened(whole); got != whole {
			t.Errorf("%d of %s become %d", most, letter, len([]rune(got)))
		}
		want := strings.Repeat(letter, most*3/4) + " … " + strings.Repeat(letter, most/4)
		if got := shortened(whole + letter); got != want {
			t.Errorf("one more %s: %d characters", letter, len([]rune(got)))
		}
	}
}

// A word wider than the screen is broken in pieces as wide as it is; letters that take two places go down whole.
func TestBroken(t *testing.T) {
	for _, c := range []struct {
		line  string
		width int
		want  []string
	}{
		{"abcdef", 6, []string{"abcdef"}},
		{"abcdefg", 6, []string{"abcdef", "g"}},
		{"größere", 7, []string{"größere"}},
		{"密度密度", 5, []string{"密度", "密度"}},
		{"密度", 1, []string{"密", "度"}},
	} {
		if got := broken(c.line, c.width); !slices.Equal(got, c.want) {
			t.Errorf("%s in %d: %q, want %q", c.line, c.width, got, c.want)
		}
	}
}
