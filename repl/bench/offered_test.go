package bench

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// oddLevels is a series whose columns and levels are hard to type: they hold marks, or are
// words of the language.
func oddLevels() string {
	var b strings.Builder
	b.WriteString("load (N),nail,by,failure,board,day\n")
	nails := []string{`"5"" box"`, `"by"`, `"“old” 3; or"`}
	for i := range 36 {
		density := fmt.Sprint(500 + 7*(i*i%23))
		if i%12 == 11 {
			density = ""
		}
		failure := []string{"other", `"1/2"" split"`}[i/2%2]
		fmt.Fprintf(&b, "%d,%s,%s,%s,%d,d%d\n", 300+20*(i%3)+i*i%17+i%12, nails[i%3], density, failure, i%12%4+1, i/12)
	}
	return b.String()
}

// typeAll types a line of commands, as it was offered.
func typeAll(t *testing.T, s *session.Session, line string) *session.Session {
	t.Helper()
	pieces, more, err := phrase.Split(line)
	if err != nil || more || len(pieces) == 0 {
		t.Fatalf("%s: %v", line, err)
	}
	for _, p := range pieces {
		c, err := parser.Parse(p, s)
		if err != nil {
			t.Fatalf("offered %s: %v", p.Text, err)
		}
		if s, _, err = Run(context.Background(), s, c); err != nil {
			t.Fatalf("offered %s: %v", p.Text, err)
		}
	}
	return s
}

// offers are the lines that the cautions of an entry offer to type.
func offers(e page.Entry) []string {
	var out []string
	for _, c := range e.Cautions {
		for _, lead := range []string{"type: ", "Try: "} {
			if _, line, found := strings.Cut(render.Sentence(c, render.Options{}), lead); found {
				out = append(out, line)
			}
		}
	}
	for _, d := range e.Doubts {
		if d.Try != "" {
			out = append(out, d.Try)
		}
	}
	return out
}

// Rivals on other specimens are offered a line that fits them on the same ones; with levels
// and columns that are hard to write, it can still be typed as it stands.
func TestRivalsOfferALineThatWorksWithOddLevels(t *testing.T) {
	s, _ := startedSession(t, oddLevels(), `fit load on nail for nail is "5"" box" or nail is "by" as one`,
		`fit load on nail, "by" as two`)
	c, err := parser.Parse(phrase.Piece{Text: "rivals one, two", At: 1}, s)
	if err != nil {
		t.Fatal(err)
	}
	_, _, err = Run(context.Background(), s, c)
	var p *page.Problem
	if !errors.As(err, &p) || p.Code != "other-specimens" {
		t.Fatalf("%v", err)
	}
	want := `fit load on nail for "by" is not missing and (nail is "5"" box" or nail is "by"); ` +
		`fit load on nail, "by" for (nail is "5"" box" or nail is "by") and "by" is not missing; rivals fit1, fit2`
	if p.Hint != want {
		t.Errorf("offered %s\n    want %s", p.Hint, want)
	}
	typeAll(t, s, p.Hint)
}

// Every line that a caution or a doubt offers can be typed as it stands.
func TestCautionsOfferLinesThatWorkWithOddLevels(t *testing.T) {
	for line, least := range map[string]int{
		`compare load by nail against "by"`:                                       1,
		`fit load on nail, "by" for nail is not "““old”” 3; or"`:                  1,
		`fit load on nail blocked by board`:                                       2,
		`average load by nail for nail among "5"" box", "by" confidence 90%`:      1,
		`anova load on nail, "by" uneven spread for nail is not "by"`:             1,
		`compare load by nail reshuffled 99 times for nail among "5"" box", "by"`: 1,
	} {
		s, e := startedSession(t, oddLevels(), line)
		lines := offers(e)
		if len(lines) < least {
			t.Errorf("%s offers %q, want %d lines or more", line, lines, least)
		}
		for _, offered := range lines {
			typeAll(t, s, offered)
		}
	}
}
