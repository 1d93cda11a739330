package bench

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/help"
	"breakbook/repl/render"
)

// What is offered after a command works as it stands: every line of every example of the table, typed in
// its session.
func TestOfferedNextLinesWork(t *testing.T) {
	offered := 0
	for _, e := range entriesFrom(1) {
		if unbooked[e.Kind] {
			continue
		}
		t.Run(e.Name, func(t *testing.T) {
			b := newBench(t)
			b.run(ready(e.Name)...)
			for _, line := range b.run(e.Example).Next {
				offered++
				if _, err := b.try(line); err != nil {
					t.Errorf("%s offers %q: %v", e.Example, line, err)
				}
			}
		})
	}
	if all := len(phrase.Table); offered < 30*len(entriesFrom(1))/all {
		t.Errorf("only %d lines are offered after the examples of all commands", offered)
	}
}

// Of a few specimens, of loads that are text and of loads that are all alike only what can be asked is offered.
func TestOnlyWhatCanBeAskedIsOffered(t *testing.T) {
	for name, c := range map[string]struct{ series, want string }{
		"three": {"specimen,pins,load (N)\na,none,400\nb,pair,450\nc,pair,440\n", "average load by pins"},
		"one":   {"specimen,pins,load (N)\na,none,400\n", ""},
		"alike": {"specimen,pins,load (N)\n" + strings.Repeat("a,none,400\nb,pair,400\n", 10), ""},
		"text":  {"specimen,pins,load\n" + strings.Repeat("a,none,400 N\nb,pair,high\nc,pair,n.g.\n", 10), ""},
		"some": {"specimen,pins,load (N)\na,none,400\nb,pair,450\nc,pair,440\nd,none,410\ne,none,390\nf,pair,466\n" +
			"g,none,402\nh,pair,449\n", "what drove load; average load by pins"},
	} {
		b := newBench(t)
		if err := os.WriteFile(name+".csv", []byte(c.series), 0o666); err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(b.run("open "+name+".csv").Next, "; "); got != c.want {
			t.Errorf("%s: %q is offered, want %q", name, got, c.want)
		}
	}
}

// A result takes at most a screen of 24 lines at 80 columns on the demo's series, and so does each at a
// wider and a narrower one; what has no room is shown whole by the line that it names.
func TestResultsFitAScreen(t *testing.T) {
	for _, e := range entriesFrom(2) {
		if e.Result == "" {
			continue
		}
		t.Run(e.Name, func(t *testing.T) {
			b := newBench(t)
			b.run(ready(e.Name)...)
			got := b.run(e.Example)
			for _, width := range []int{80, 100, 132} {
				var screen bytes.Buffer
				if err := render.Terminal(&screen, got, render.Options{Width: width}); err != nil {
					t.Fatal(err)
				}
				if n := strings.Count(screen.String(), "\n"); n > 24 {
					t.Errorf("%s takes %d lines at %d columns:\n%s", e.Example, n, width, screen.String())
				}
				if !strings.Contains(screen.String(), "show "+got.Name) {
					t.Errorf("%s does not name the line that shows it whole:\n%s", e.Example, screen.String())
				}
			}
			whole := b.run("show " + got.Name)
			if len(whole.Tables) != len(got.Tables) || len(whole.Findings) != len(got.Findings) ||
				len(whole.Values) != len(got.Values) || len(whole.Cautions) != len(got.Cautions) {
				t.Errorf("show %s leaves something out", got.Name)
			}
		})
	}
}

// Every page of the help fits a screen of 24 lines at 80 columns, on the demo's own columns.
func TestHelpPagesFitAScreen(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	lines := []string{"help"}
	for _, topic := range help.Topics {
		lines = append(lines, "help "+topic.Name)
	}
	for _, line := range lines {
		var screen bytes.Buffer
		if err := render.Terminal(&screen, b.run(line), render.Options{Width: 80}); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(screen.String(), "\n"); n > 24 {
			t.Errorf("%s takes %d lines:\n%s", line, n, screen.String())
		}
	}
}

// A whole line is help on its command.
func TestHelpOnALine(t *testing.T) {
	b := newBench(t)
	e := b.run("help fit load")
	if len(e.Tables) == 0 || !strings.HasPrefix(e.Tables[0].Rows[0][0].Text, "fit ") {
		t.Errorf("help fit load is help on something else: %v", e.Tables)
	}
	if _, err := b.try("help frobnicate the joints"); err == nil {
		t.Error("there is help on a word that is none")
	}
}
