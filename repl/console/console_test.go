package console

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/mattn/go-runewidth"
)

func TestCompletionCountsCharacters(t *testing.T) {
	complete := wordCompleter(func(line string, pos int) (int, []string) {
		if line != "größe me (mm)" || pos != 8 {
			t.Errorf("asked for %q at %d", line, pos)
		}
		return 6, []string{"mean"}
	})
	head, list, tail := complete("größe me (mm)", 8)
	if head != "größe " || !slices.Equal(list, []string{"mean"}) || tail != " (mm)" {
		t.Errorf("%q + %q + %q", head, list, tail)
	}
}

func TestCompletionThatFailsLeavesTheLineAlone(t *testing.T) {
	complete := wordCompleter(func(string, int) (int, []string) { panic("unforeseen") })
	head, list, tail := complete("größe me", 5)
	if head != "größe" || list != nil || tail != " me" {
		t.Errorf("%q + %q + %q", head, list, tail)
	}
}

func TestFitPrompt(t *testing.T) {
	for _, c := range []struct {
		prompt  string
		columns int
		want    string
	}{
		{"gates 4 | ", 80, "gates 4 | "},
		{"… | ", 80, "… | "},
		{"ga\x1btes 4 | ", 80, "ga?tes 4 | "},
		{"a_series_with_a_long_name 12 | ", 30, "long_name 12 | "},
		{"gates 4 | ", 10, " 4 | "},
	} {
		got := fitPrompt(c.prompt, c.columns)
		if got != c.want {
			t.Errorf("%q in %d columns is %q, want %q", c.prompt, c.columns, got, c.want)
		}
		if w := runewidth.StringWidth(got); w > c.columns/2 {
			t.Errorf("%q takes %d of %d columns", got, w, c.columns)
		}
	}
}

func TestGreetingIsThreeLinesThatFit(t *testing.T) {
	lines := strings.Split(strings.TrimSuffix(Greeting, "\n"), "\n")
	if len(lines) != 3 {
		t.Errorf("%d lines", len(lines))
	}
	for _, l := range lines {
		if runewidth.StringWidth(l) > 80 {
			t.Errorf("too wide for 80 columns: %q", l)
		}
	}
}

func TestProgressShowsLongWorkOnly(t *testing.T) {
	var out bytes.Buffer
	quick := StartProgress(&out)
	quick.Report(1, 10)
	quick.Finish()
	if out.Len() > 0 {
		t.Errorf("short work drew %q", out.String())
	}

	long := StartProgress(&out)
	long.started = time.Now().Add(-2 * patience)
	long.Report(5, 10)
	if !strings.Contains(out.String(), "5/10") || !strings.Contains(out.String(), "Ctrl-C") {
		t.Errorf("long work drew %q", out.String())
	}
	long.Finish()
	drawn := out.Len()
	long.Report(6, 10)
	if out.Len() != drawn {
		t.Error("work that was given up still draws")
	}
}
