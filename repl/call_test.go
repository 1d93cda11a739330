package repl

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/pflag"

	"breakbook/repl/phrase/help"
)

func TestFlagsStandBeforeOrAfterTheWord(t *testing.T) {
	for _, line := range []string{
		"--json --out figures --seed 7 type look",
		"type look --json --out figures --seed 7",
		"--json type --seed=7 look --out=figures",
	} {
		c, err := parseCall(strings.Fields(line))
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if c.word != "type" || !slices.Equal(c.rest, []string{"look"}) || !c.json || c.out != "figures" || c.seed != 7 {
			t.Errorf("%s: read as %+v", line, *c)
		}
	}
}

func TestWrongCalls(t *testing.T) {
	for _, c := range []struct{ line, message, hint string }{
		{"repaly x.brk", `"repaly" is no word breakbook knows`, "did you mean replay?"},
		{"gates.brk", `"gates.brk" is no word breakbook knows`, "breakbook replay gates.brk"},
		{"gates.csv", `"gates.csv" is no word breakbook knows`, "breakbook type 'open gates.csv'"},
		{"xyzzy", `"xyzzy" is no word breakbook knows`, ""},
		{"replay", "replay needs FILE.brk …", ""},
		{"type", "type needs 'COMMANDS'", ""},
		{"demo twice", `demo does not take "twice"`, ""},
		{"man man", `man does not take "man"`, ""},
		{"completion", "completion needs bash|zsh|fish", ""},
		{"completion tcsh", `completion takes bash|zsh|fish, not "tcsh"`, ""},
		{"completion bash zsh", `completion does not take "zsh"`, ""},
		{"complet bash", `"complet" is no word breakbook knows`, "did you mean completion?"},
		{"--jsno type look", "unknown flag: --jsno", "did you mean --json?"},
		{"--seed -1 type look", `invalid argument "-1" for "--seed" flag`, ""},
		{"--check old.jsonl type look", "--check goes with replay", ""},
		{"--out= demo", "--out needs a folder", ""},
	} {
		_, err := parseCall(strings.Fields(c.line))
		wrong, ok := err.(*callError)
		if !ok {
			t.Errorf("%s: error %v, want a wrong call", c.line, err)
			continue
		}
		if !strings.HasPrefix(wrong.message, c.message) || wrong.hint != c.hint {
			t.Errorf("%s: %q (%q), want %q (%q)", c.line, wrong.message, wrong.hint, c.message, c.hint)
		}
	}
}

func TestFlagsAreThoseOfThePhraseTable(t *testing.T) {
	var read, listed []string
	flagsOf(&call{}).VisitAll(func(f *pflag.Flag) { read = append(read, f.Name) })
	for _, f := range help.Flags {
		listed = append(listed, f.Name)
	}
	slices.Sort(listed)
	if !slices.Equal(read, listed) {
		t.Errorf("the program reads %q, the table lists %q", read, listed)
	}
}

func TestUsageNamesEveryCallAndFlag(t *testing.T) {
	text := usage()
	for _, k := range help.Calls {
		if !strings.Contains(text, strings.TrimSpace("  breakbook "+k.Word+" "+k.Args)) {
			t.Errorf("no line for %q", k.Word)
		}
	}
	for _, f := range help.Flags {
		if !strings.Contains(text, strings.TrimSpace("  --"+f.Name+" "+f.Arg)) {
			t.Errorf("no line for --%s", f.Name)
		}
	}
	for line := range strings.Lines(text) {
		if utf8.RuneCountInString(line) > 120 {
			t.Errorf("too long: %s", line)
		}
	}
}
