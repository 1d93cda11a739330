package bench

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/render"
	"breakbook/repl/session"
)

// planted is a series in which pair carries some 40 N more than none, unless specimen
// x9, which tore at its knot, is counted.
const planted = `specimen,load (N),pins,density (kg/m3),run,failure
a1,402,none,600,spring,glue
a2,411,none,612,autumn,glue
a3,396,none,598,spring,glue
a4,405,none,621,autumn,glue
a5,399,none,607,spring,glue
a6,408,none,603,autumn,glue
b1,446,pair,605,spring,glue
b2,452,pair,611,autumn,glue
b3,441,pair,599,spring,glue
b4,449,pair,618,autumn,glue
b5,443,pair,602,spring,glue
x9,120,pair,608,autumn,glue
`

// flips gives each analysis command of the table a line whose main answer specimen x9 flips.
var flips = map[string]string{
	"characteristic": "characteristic load by pins",
	"same":           "same load by pins within 20%",
	"plan":           "plan load by pins detecting 10%",
	"plan limit":     "plan characteristic load by pins within 10%",

	"judge": "judge plan1 so far",

	"average":      "average load by pins",
	"until":        "fit load until failure is glue on pins",
	"fit":          "fit load on pins",
	"anova":        "anova load on pins, density",
	"anova of":     "anova of fit1",
	"adjusted":     "adjusted pins of fit1",
	"compare":      "compare load by pins",
	"compare of":   "compare pins of fit1",
	"compare with": "compare load with 402 N by pins",
	"predict":      "predict fit1 given pins none or pair",

	"drove":      "what drove load",
	"drove mode": "what drove pins is pair among load",

	"odds":     "odds pins is pair on load",
	"odds all": "odds pins on load",

	"check":    "check load by pins",
	"check of": "check of fit1",
	// The one truth behind both runs rests on spring, which x9 is not in: what x9 flips is whether the
	// difference may reach 48 N.
	"agree effect":  "agree compare pins against none by run worth 48 N",
	"agree measure": "agree compare load by pins against none by run worth 48 N",
}

// startedSession runs commands on a book whose current folder holds a file series.csv.
func startedSession(t *testing.T, csv string, commands ...string) (*session.Session, page.Entry) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "series.csv")
	if err := os.WriteFile(path, []byte(csv), 0o666); err != nil {
		t.Fatal(err)
	}
	s := session.New(session.Options{})
	var e page.Entry
	for _, line := range append([]string{`open "` + path + `"`}, commands...) {
		pieces, _, err := phrase.Split(line)
		if err != nil {
			t.Fatal(err)
		}
		c, err := parser.Parse(pieces[0], s)
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if s, e, err = Run(context.Background(), s, c); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
	}
	return s, e
}

// warned tells whether a caution of the entry holds the words.
func warned(e page.Entry, words string) bool {
	return slices.ContainsFunc(e.Cautions, func(s page.Sentence) bool {
		return strings.Contains(render.Sentence(s, render.Options{}), words)
	})
}

func TestSetAsideSpecimenThatFlipsTheAnswerIsNamed(t *testing.T) {
	const named = "Specimen x9 is set aside, and the main answer depends on that"
	for _, entry := range phrase.Table {
		line, ok := flips[entry.Name]
		if !ok && !slices.Contains(entry.Clauses, phrase.Worth) {
			continue
		}
		if !ok {
			t.Errorf("%s: no line of this test shows it with the planted specimen back", entry.Name)
			continue
		}
		aside := `set aside specimen x9 because "tore at its knot"`
		before := []string{aside, "fit load on pins, density"}
		if entry.Name == "judge" {
			before = append(before, "plan load by pins detecting 40 N spread 20 N in 2 stages")
		}
		_, e := startedSession(t, planted, append(before, line)...)
		if !warned(e, named) {
			t.Errorf("%s: nothing says that the answer depends on x9: %v", line, e.Cautions)
		}
		if e.Specimens == nil || e.Specimens.SetAside != 1 {
			t.Errorf("%s: does not count the specimen set aside: %+v", line, e.Specimens)
		}
		before = slices.Insert(before, 1, `set aside specimen a1 because "spoiled"`, "bring back specimen x9")
		if _, e = startedSession(t, planted, append(before, line)...); warned(e,
			"is set aside, and the main answer hangs") {
			t.Errorf("%s: a1 changes nothing and is named all the same: %v", line, e.Cautions)
		}
	}
}

func TestMoveOfMoreThanHalfTheRangeIsReported(t *testing.T) {
	_, e := startedSession(t, planted, `set aside specimen x9, b5 because "knots"`, "compare load by pins")
	if !warned(e, "Specimens b5, x9 are set aside, and the main answer depends on that. With them all back") {
		t.Errorf("all of them back is not told: %v", e.Cautions)
	}
	if warned(e, "Specimen b5 is set aside, and") {
		t.Errorf("b5 by itself changes nothing: %v", e.Cautions)
	}
}
