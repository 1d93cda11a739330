package help

import (
	"errors"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/phrase"
)

// session is a made-up one with its own columns.
type session struct{ phrase.NoPast }

func (session) Current() string       { return "mine" }
func (session) SeriesNames() []string { return []string{"mine"} }
func (session) Columns(string) []phrase.KnownColumn {
	return []phrase.KnownColumn{
		{Name: "moisture", Kind: "number", Unit: "percent"},
		{Name: "peak", Kind: "number", Unit: "kgf"},
		{Name: "dowel_kind", Kind: "category", Levels: []string{"no dowel", "oak"}},
	}
}
func (session) Results() []phrase.KnownResult { return nil }
func (session) RoleColumn(_, role string) string {
	return map[string]string{"load": "peak"}[role]
}

var mine session

func helpNames(t *testing.T, word string, k phrase.Known) []string {
	t.Helper()
	h, err := Lookup(word, k)
	if err != nil {
		t.Fatalf("help %s: %v", word, err)
	}
	var names []string
	for _, one := range h {
		names = append(names, one.Name)
	}
	return names
}

func TestHelpFindsCommandsAndNotions(t *testing.T) {
	for word, want := range map[string][]string{
		"compare": {"compare", "compare with", "compare of"}, "Condition": {"condition"},
		"show  results": {"show results"},
		"show":          {"show series", "show results", "show result", "show caution", "show aside"},
		"term":          {"terms"}, "sequential": {"anova of", "anova"},
		"through zero": {"fit", "anova"}, "levels": {"levels", "levels"},
	} {
		if got := helpNames(t, word, mine); !slices.Equal(got, want) {
			t.Errorf("help %s gives %v, want %v", word, got, want)
		}
	}
	if got := helpNames(t, "", nil); len(got) != len(phrase.Table)+len(notions) {
		t.Errorf("help lists %d, want %d", len(got), len(phrase.Table)+len(notions))
	}
	var e *phrase.Error
	if _, err := Lookup("compair", nil); !errors.As(err, &e) || e.Code != "unknown-word" ||
		e.Hint != "did you mean compare?" {
		t.Errorf("help compair gives %+v", err)
	}
}

func TestHelpShowsThePhrase(t *testing.T) {
	for word, want := range map[string]string{
		"average": "average Y by A[, B]", "mark": "mark COLUMN as " +
			"specimen/load/failure/block/weight/order/given/result",
		"predict": "predict [FIT] given COLUMN VALUE, …", "confidence": "confidence N%",
		"merge": "merge levels LEVEL, … into NAME of COLUMN", "draw shares": "draw shares [of NAME]",
		"agree": "agree Y by SERIES", "read curves": "read curves FILE … by KEY",
	} {
		if h, err := Lookup(word, nil); err != nil || h[0].Phrase != want {
			t.Errorf("%s: %+v %v", word, h, err)
		}
	}
}

func TestExamplesAreOnTheUsersOwnColumns(t *testing.T) {
	for word, want := range map[string]string{
		"average": "average peak by dowel_kind", "fit": "fit peak on moisture, dowel_kind",
		"compare": `compare peak by dowel_kind against "no dowel"`,
		"predict": `predict fit1 given dowel_kind "no dowel", moisture 10 percent`,
		"levels":  "levels of pins are none, single, pair, offset", "switch": "switch to mine",
		"open": "open gates.csv",
	} {
		h, err := Lookup(word, mine)
		if err != nil || h[0].Example != want {
			t.Errorf("help %s shows %q, want %q (%v)", word, h[0].Example, want, err)
		}
	}
}

func TestManPageIsWellFormedAndWhole(t *testing.T) {
	man := Man()
	for _, e := range phrase.Table {
		if !strings.Contains(man, roff(e.Help)) {
			t.Errorf("the man page lacks %q", e.Help)
		}
	}
	path, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("groff is not here to judge the page")
	}
	cmd := exec.Command(path, "-man", "-ww", "-Tutf8", "-K", "utf8", "-z")
	cmd.Stdin = strings.NewReader(man)
	if out, err := cmd.CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("groff: %v %s", err, out)
	}
}

func TestShellCompletions(t *testing.T) {
	for _, shell := range shells {
		script, err := ShellCompletion(shell)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range append([]string{"replay", "no-color"}, phrase.Standard().FirstWords()...) {
			if !strings.Contains(script, w) {
				t.Errorf("%s: %s is not completed", shell, w)
			}
		}
		path, err := exec.LookPath(shell)
		if err != nil {
			t.Logf("%s is not here to read its script", shell)
			continue
		}
		cmd := exec.Command(path, "-n")
		cmd.Stdin = strings.NewReader(script)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("%s: %v %s", shell, err, out)
		}
	}
	var e *phrase.Error
	if _, err := ShellCompletion("bsh"); !errors.As(err, &e) || e.Hint != "did you mean bash?" {
		t.Errorf("bsh gives %+v", err)
	}
}

func TestBashCompletes(t *testing.T) {
	path, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("bash is not here")
	}
	script, err := ShellCompletion("bash")
	if err != nil {
		t.Fatal(err)
	}
	for words, want := range map[string]string{
		"breakbook re": "replay", "breakbook --js": "--json", "breakbook --seed 3 comp": "completion",
		"breakbook help comp": "compare", "breakbook completion z": "zsh",
	} {
		n := len(strings.Fields(words)) - 1
		cmd := exec.Command(path, "-c",
			script+"\nCOMP_WORDS=("+words+"); COMP_CWORD="+string(rune('0'+n))+"; _breakbook; echo \"${COMPREPLY[*]}\"")
		if out, err := cmd.CombinedOutput(); err != nil || strings.TrimSpace(string(out)) != want {
			t.Errorf("%s: %q %v, want %s", words, out, err, want)
		}
	}
}
