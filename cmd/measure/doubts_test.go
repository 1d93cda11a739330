package main

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"breakbook/cmd/measure/falseanswers"
	"breakbook/cmd/measure/typed"
	"breakbook/repl/page"
)

// What is planted is told in most series of 60, and what nothing is wrong with is not doubted: the
// counts of `measure doubts` over a few seeds, with bounds that a hundred times as many keep easily.
func TestDoubtsTellWhatWasPlanted(t *testing.T) {
	counts(t)
	const series = 30
	least := map[string]int{"blocks": 12, "many-asked": 3, "uneven-spread": 18}
	for i, f := range faults {
		all, err := questioned(t.Context(), series, uint64(7000+i),
			func(r *rand.Rand) falseanswers.Series { return f.Make(60, r) })
		if err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		named, missed := 0, 0
		for _, o := range all {
			if o.has(o.fault) {
				named++
			}
			if o.wrong && !o.doubted {
				missed++
			}
		}
		want := 27
		if n, ok := least[all[0].fault]; ok {
			want = n
		}
		if named < want || missed > 5 {
			t.Errorf("%s: told in %d of %d, false without a doubt in %d", f.Name, named, series, missed)
		}
	}
	for i, l := range layouts {
		all, err := questioned(t.Context(), series, uint64(8000+i), func(r *rand.Rand) falseanswers.Series {
			return clean(l, r)
		})
		if err != nil {
			t.Fatalf("%s: %v", l.name, err)
		}
		alarms := 0
		for _, o := range all {
			if o.any(func(code string) bool { return code != "many-asked" && code != "blocks" }) {
				alarms++
			}
		}
		if alarms > 6 { // of 30 with a chance of 5 %, seven or more come in one series of tests in 3,000
			t.Errorf("%s: %d of %d are doubted", l.name, alarms, series)
		}
	}
}

// The line that a doubt offers can be typed in the same book, and gives the answer that the doubt
// says it gives, without that doubt.
func TestDoubtsOfferLinesThatAnswer(t *testing.T) {
	offered := map[string]bool{}
	for i, f := range faults {
		for seed := range uint64(8) {
			m := f.Make(60, rand.New(rand.NewPCG(uint64(9000+i), seed)))
			var b typed.Book
			if err := b.Open(t.Context(), "s", m.CSV()); err != nil {
				t.Fatal(err)
			}
			e, err := b.Run(t.Context(), fmt.Sprintf("worth %g N; %s", worthIt, m.Asked))
			if err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
			for _, d := range e.Doubts {
				if d.Try == "" {
					continue
				}
				offered[d.Code] = true
				then := typed.Book{Session: b.Session}
				again, err := then.Run(t.Context(), d.Try)
				if err != nil {
					t.Errorf("%s offers %s: %v", f.Name, d.Try, err)
					continue
				}
				if !answersWith(again, d.AnswerThen) {
					t.Errorf("%s: %s does not answer %q", f.Name, d.Try, d.AnswerThen)
				}
				if slices.ContainsFunc(again.Doubts, func(x page.Doubt) bool {
					return x.Code == d.Code &&
						x.About == d.About
				}) {
					t.Errorf("%s: %s is doubted for %s again", f.Name, d.Try, d.Code)
				}
			}
		}
	}
	for _, code := range []string{"left-out", "combination", "bend", "odd-specimen", "uneven-spread", "blocks",
		"ceiling"} {
		if !offered[code] {
			t.Errorf("no series was doubted for %s", code)
		}
	}
}

// answersWith reports whether a finding ends with an answer.
func answersWith(e page.Entry, words string) bool {
	return slices.ContainsFunc(e.Findings, func(f page.Sentence) bool {
		return slices.ContainsFunc(f, func(p page.Part) bool {
			v, ok := p.(page.Verdict)
			return ok && v.Words == words
		})
	})
}
