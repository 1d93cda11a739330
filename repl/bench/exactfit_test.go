package bench

import (
	"context"
	"testing"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
)

// Every load is what its level and nothing else makes it.
const exactLoads = "load (N),pins,density (kg/m3)\n100,none,500\n100,none,510\n100,none,520\n110,pair,505\n" +
	"110,pair,530\n110,pair,540\n"

func TestFitThatMeetsEveryValueTellsNoEffect(t *testing.T) {
	for _, line := range []string{"fit load on pins", "fit load on pins uneven spread", "anova load on pins"} {
		_, e := startedSession(t, exactLoads, line)
		if !warned(e, "The terms meet every value of load exactly") || len(e.Findings) != 1 {
			t.Errorf("%s: findings %q, cautions %q", line, words(e.Findings), words(e.Cautions))
		}
	}
	s, _ := startedSession(t, exactLoads, "fit load on pins")
	for line, want := range map[string]string{
		"check of fit1":      "every value of load is met exactly: there are no residuals to check",
		"check load by pins": "every value of load is met exactly: there are no residuals to check",
	} {
		pieces, _, _ := phrase.Split(line)
		c, err := parser.Parse(pieces[0], s)
		if err != nil {
			t.Fatal(err)
		}
		if _, e, _ := Run(context.Background(), s, c); e.Problem == nil || e.Problem.Message != want {
			t.Errorf("%s: %+v", line, e.Problem)
		}
	}
}
