package bench

import (
	"context"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/render"
)

// holed is a series with cells missing at random, and what of it a fit of load on density and glue loses:
// counted here row by row.
func holed(seed uint64) (csv string, lost, all int, much bool) {
	r := rand.New(rand.NewPCG(seed, 1))
	var b strings.Builder
	b.WriteString("load (N),density (kg/m3),glue,pins,series,board\n")
	all = 20 + r.IntN(20)
	holes := r.Float64() * 0.15
	wholly := r.IntN(4) // one series that has no glue, in a third of them
	has, lacks := map[string]bool{}, map[string]bool{}
	for range all {
		glue := []string{"hide", "white", "epoxy"}[min(r.IntN(12)/5, 2)]
		series := []string{"a", "b", "c", "d", "e", "f", "g"}[r.IntN(7)]
		load, density, given := fmt.Sprint(300+r.IntN(300)), fmt.Sprint(500+r.IntN(200)), glue
		if r.Float64() < holes {
			load = ""
		}
		if r.Float64() < holes {
			density = ""
		}
		if r.Float64() < holes || wholly == 0 && series == "c" {
			given = ""
		}
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s,%d\n", load, density, given, []string{"none", "pair"}[r.IntN(2)], series,
			r.IntN(5))
		if gone := load == "" || density == "" || given == ""; gone {
			lost++
			lacks["series "+series] = true
			if given != "" {
				lacks["glue "+given] = true
			}
			continue
		}
		has["series "+series], has["glue "+given] = true, true
	}
	much = lost*5 >= all
	for level := range lacks {
		much = much || !has[level]
	}
	return b.String(), lost, all, much
}

var takePart = regexp.MustCompile(`, (?:all )?(\d+) takes? part\. Try: (.*)$`)

// Over many series with holes: what is lost is told first, and only, where it is much; the line that is
// offered works and takes in as many specimens as it says, more than before.
func TestWhatIsLostIsReportedWhereItIsMuch(t *testing.T) {
	withoutShort(t)
	reported, quiet, offered := 0, 0, 0
	for seed := range uint64(120) {
		csv, lost, all, much := holed(seed)
		s, e := startedSession(t, csv, "fit load on density, glue")
		first := ""
		for i, c := range e.Cautions {
			if text := render.Sentence(c, render.Options{}); strings.Contains(text, " left out ") {
				if i > 0 || first != "" {
					t.Errorf("seed %d: caution %d is %s", seed, i+1, text)
				}
				first = text
			}
		}
		if (first != "") != much {
			t.Errorf("seed %d: %d of %d lost, much: %v, told: %q", seed, lost, all, much, first)
			continue
		}
		if !much {
			quiet++
			continue
		}
		reported++
		if !strings.HasPrefix(first, fmt.Sprintf("%d of %d specimens ", lost, all)) {
			t.Errorf("seed %d: %d of %d lost, told: %q", seed, lost, all, first)
		}
		m := takePart.FindStringSubmatch(first)
		if m == nil {
			continue
		}
		offered++
		c, err := parser.Parse(phrase.Piece{Text: m[2], At: 1}, s)
		if err != nil {
			t.Errorf("seed %d: %s: %v", seed, m[2], err)
			continue
		}
		_, then, err := Run(context.Background(), s, c)
		if err != nil {
			t.Errorf("seed %d: %s: %v", seed, m[2], err)
			continue
		}
		if strconv.Itoa(then.Specimens.Used) != m[1] || then.Specimens.Used <= all-lost {
			t.Errorf("seed %d: %s takes in %d, told %s", seed, m[2], then.Specimens.Used, m[1])
		}
	}
	if reported < 20 || quiet < 20 || offered < 10 {
		t.Errorf("%d told, %d quiet, %d offered: too few of a kind to mean anything", reported, quiet, offered)
	}
}
