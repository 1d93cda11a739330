package help

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// script writes the completion for a shell to a file, or skips where the shell is not here.
func script(t *testing.T, shell string) string {
	t.Helper()
	if _, err := exec.LookPath(shell); err != nil {
		t.Skip("no", shell, "here: its completion is not run")
	}
	text, err := ShellCompletion(shell)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "_breakbook")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// offered runs a shell and gives the first word of each line it prints, in order.
func offered(t *testing.T, name string, args ...string) []string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var words []string
	for line := range strings.Lines(string(out)) {
		word, _, _ := strings.Cut(strings.TrimSpace(line), "\t")
		words = append(words, word)
	}
	slices.Sort(words)
	return words
}

func TestFishCompletes(t *testing.T) {
	path := script(t, "fish")
	for typed, want := range map[string][]string{
		"breakbook re": {"replay"}, "breakbook completion ": {"bash", "fish", "zsh"}, "breakbook --quiet d": {"demo"},
		"breakbook help adj": {"adjusted"}, "breakbook --qu": {"--quiet"},
	} {
		got := offered(t, "fish", "--no-config", "-c", "source "+path+`; complete -C "`+typed+`"`)
		if !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}

// A zsh takes the script as it stands, read at its start or found in its function path.
func TestZshTakesItsCompletion(t *testing.T) {
	path := script(t, "zsh")
	const start = `autoload -Uz compinit; compinit -u -D; `
	for _, run := range []string{start + `source "$1"; print -r -- $_comps[breakbook] $+functions[_breakbook]`,
		`fpath=(${1:h} $fpath); ` + start +
			`autoload +X _breakbook; print -r -- $_comps[breakbook] $+functions[_breakbook]`} {
		if got := offered(t, "zsh", "-f", "-c", run, "zsh", path); !slices.Equal(got, []string{"_breakbook 1"}) {
			t.Errorf("%s\ngives %q", run, got)
		}
	}
}
