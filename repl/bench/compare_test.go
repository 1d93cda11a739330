package bench

import (
	"context"
	"regexp"
	"slices"
	"strings"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/render"
)

// settles is what a level of six that cannot be told ends with: how many would settle it, or that
// it takes more than twenty times as many.
var settles = regexp.MustCompile(`about \d+ specimens per level, of which you have 6, would probably settle|far ` +
	`more specimens than a workshop would make`)

// forms are all ways to set levels against each other, on the planted series.
var forms = []string{
	"compare load by pins uneven spread",
	"compare load by pins against none uneven spread",
	"compare load by pins ranked",
	"compare load by pins against none ranked",
	"compare load by pins reshuffled",
	"compare load by pins against none reshuffled 2000 times",
	"compare pins of fit1 uneven spread",
	"compare pins of fit1 reshuffled 2000 times",
	"compare pins of fit1 against none reshuffled 2000 times",
	"compare load with 402 N by pins uneven spread",
}

func TestEveryFormOfComparisonNamesTheSpecimenItHangsOn(t *testing.T) {
	for _, line := range forms {
		_, e := startedSession(t, planted, `set aside specimen x9 because "tore at its knot"`,
			"fit load on pins, density", line)
		if !warned(e, "Specimen x9 is set aside, and the main answer depends on that") {
			t.Errorf("%s: nothing says that the answer depends on x9: %v", line, e.Cautions)
		}
		reported := render.Sentence(e.Findings[0], render.Options{})
		if !strings.HasSuffix(reported, "differs.") {
			t.Errorf("%s: %s", line, reported)
		}
	}
}

// threeAnswers is one level clearly above, one alike, and one that scatters too much to tell.
const threeAnswers = `load (N),pins
500,none
503,none
498,none
501,none
499,none
502,none
560,above
563,above
558,above
561,above
559,above
562,above
501,alike
502,alike
499,alike
500,alike
503,alike
498,alike
420,wild
580,wild
455,wild
610,wild
490,wild
530,wild
`

// answerOf is the answer about one level in a table of differences.
func answerOf(e page.Entry, level string) string {
	for _, row := range e.Tables[1].Rows {
		if row[1].Text == level {
			return row[len(row)-1].Text
		}
	}
	return ""
}

func TestEveryFormGivesTheThreeAnswers(t *testing.T) {
	for _, form := range []string{"uneven spread", "ranked", "reshuffled 5000 times"} {
		got := map[string]string{}
		for _, level := range []string{"above", "alike", "wild"} {
			// Two levels at a time: reshuffling takes all levels to scatter alike.
			_, e := startedSession(t, threeAnswers, "levels of pins are none, above, alike, wild",
				"compare load by pins against none "+form+" worth 20 N for pins among none, "+level)
			got[level] = answerOf(e, level)
			if level == "wild" {
				reported := render.Sentence(e.Findings[0], render.Options{})
				if !settles.MatchString(reported) || strings.Contains(reported, "about") != (form != "ranked") {
					t.Errorf("%s: %s", form, reported)
				}
			}
		}
		want := map[string]string{"above": verdict.Differs.Key(), "alike": verdict.NoDifferenceWorth.Key(),
			"wild": verdict.CannotTell.Key()}
		for level, answer := range want {
			if got[level] != answer {
				t.Errorf("%s, %s: %q, want %q", form, level, got[level], answer)
			}
		}
		_, e := startedSession(t, threeAnswers, "levels of pins are none, above, alike, wild",
			"compare load by pins against none "+form+" worth 100 N for pins among none, above")
		if a := answerOf(e, "above"); a != verdict.DiffersLessThanWorth.Key() {
			t.Errorf("%s: 60 N where 100 N is worth having: %q", form, a)
		}
	}
}

func TestReshufflingWarnsOfSpreadsAndOfFewArrangements(t *testing.T) {
	_, e := startedSession(t, threeAnswers, "compare load by pins reshuffled 999 times for pins among none, wild")
	if !warned(e, "The levels differ in spread") {
		t.Errorf("levels with sd 2 N and 70 N: %v", e.Cautions)
	}
	_, e = startedSession(t, threeAnswers, "compare load by pins reshuffled 999 times for pins among none, above")
	if warned(e, "The levels differ in spread") {
		t.Errorf("levels with the same spread: %v", e.Cautions)
	}
	few := "load (N),pins\n500,none\n503,none\n498,none\n560,pair\n563,pair\n558,pair\n"
	_, e = startedSession(t, few, "compare load by pins reshuffled")
	if !warned(e, "Of the 20 arrangements looked at even the clearest has p = 0.1") {
		t.Errorf("three against three: %v", e.Cautions)
	}
}

func TestBlocksMarkedAreShuffledWithin(t *testing.T) {
	const boards = "load (N),pins,board\n500,none,b1\n560,pair,b1\n480,none,b2\n535,pair,b2\n610,none,b3\n" +
		"668,pair,b3\n530,none,b4\n580,pair,b4\n440,none,b5\n505,pair,b5\n500,none,b6\n565,pair,b6\n"
	_, free := startedSession(t, boards, "compare load by pins reshuffled")
	_, within := startedSession(t, boards, "mark board as block", "compare load by pins reshuffled")
	p := func(e page.Entry) float64 { return e.Tables[1].Rows[0][11].Num }
	// Within boards every pair has two orders: 2⁶ = 64, of which this one and its opposite
	// are the clearest.
	if p(within) != 2./64 {
		t.Errorf("p within boards %g, want 2/64", p(within))
	}
	if p(free) < 0.05 {
		t.Errorf("p with boards mixed %g: the boards should hide the pins", p(free))
	}
	tellsOf := func(e page.Entry) bool {
		return slices.ContainsFunc(e.Findings, func(s page.Sentence) bool {
			return strings.Contains(render.Sentence(s, render.Options{}), "6 values of board")
		})
	}
	if tellsOf(within) || !tellsOf(free) {
		t.Errorf("%v\n%v", within.Findings, free.Findings)
	}
}

func TestComparisonsThatCannotBe(t *testing.T) {
	one := "load (N),pins,board\n500,none,b1\n503,none,b1\n498,none,b2\n560,pair,b3\n"
	for line, code := range map[string]string{
		"compare load by pins ranked uneven spread":    "two-ways",
		"compare load by pins reshuffled ranked":       "two-ways",
		"compare load by pins reshuffled 3 times":      "out-of-range",
		"compare load by pins uneven spread":           "alone",
		"compare load by pins reshuffled":              "not-within-blocks",
		"compare load with 10 mm":                      "wrong-dimension",
		"compare ln(load) with -3 N":                   "impossible-value",
		"compare load with 500 N for pins is pair":     "too-few-specimens",
		"compare load by pins ranked for pins is none": "too-few-levels",
	} {
		s, _ := startedSession(t, one, "mark board as block")
		pieces, _, _ := phrase.Split(line)
		c, err := parser.Parse(pieces[0], s)
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		_, e, err := Run(context.Background(), s, c)
		if err == nil || e.Problem == nil || string(e.Problem.Code) != code {
			t.Errorf("%s: %+v, want %s", line, e.Problem, code)
		}
	}
	s, _ := startedSession(t, planted, "fit load on pins")
	pieces, _, _ := phrase.Split("compare pins of fit1 ranked")
	c, err := parser.Parse(pieces[0], s)
	if err != nil {
		t.Fatal(err)
	}
	if _, e, _ := Run(context.Background(), s, c); e.Problem == nil || e.Problem.Code != "ranked-on-fit" {
		t.Errorf("ranks of a fit: %+v", e.Problem)
	}
}
