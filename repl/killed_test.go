//go:build linux

package repl

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// journals is the names of the journals in the state folder of the user whose home is home.
func journals(t testing.TB, home string) []string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(home, ".local", "state", "breakbook", "journals", "*"))
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// enters types a command and waits for the prompt of the entry after it.
func (x *terminal) enters(command string, next int) string {
	x.t.Helper()
	x.press(command + "\r")
	return x.shows(fmt.Sprintf("%d | ", next))
}

var (
	replayed = regexp.MustCompile(`\n\S+ \d+ \| (note [^\n]*)`)
	prompts  = regexp.MustCompile(`breakbook (\d+) \| `)
)

// resumes takes up the book that is offered, which must be of so many entries, and gives its
// notes and the number of the entry to come.
func (x *terminal) resumes() (notes []string, next int) {
	x.t.Helper()
	offer := x.shows("breakbook 1 | ")
	x.press("resume\r")
	came := x.shows("is taken up.")
	for _, m := range replayed.FindAllStringSubmatch(came, -1) {
		notes = append(notes, m[1])
	}
	if want := "(" + entriesOf(len(notes)) + ")"; !strings.Contains(offer, want) ||
		!strings.Contains(offer, " was not saved: type resume") {
		x.t.Errorf("%d entries came back, but offered was %q", len(notes), offer)
	}
	next = len(notes) + 2
	x.shows(fmt.Sprintf("breakbook %d | ", next))
	return notes, next
}

// savesAll saves the book, checks that it holds these notes and leaves without a word.
func (x *terminal) savesAll(folder string, notes []string, next int) {
	x.t.Helper()
	x.enters("save book kept.brk", next+1)
	x.press("quit\r")
	x.leaves(0)
	<-x.over
	if strings.Contains(x.all(), "not saved: type resume next time") {
		x.t.Errorf("left with %q", x.all()[x.from:])
	}
	text := textOf(x.t, filepath.Join(folder, "kept.brk"))
	if want := "# breakbook book 1\n" + strings.Join(notes, "\n") + "\n"; text != want {
		x.t.Errorf("saved:\n%s\nwant:\n%s", text, want)
	}
	if left := journals(x.t, folder); len(left) > 0 {
		x.t.Errorf("after saving, %q is left", left)
	}
	if err := os.Remove(filepath.Join(folder, "kept.brk")); err != nil {
		x.t.Fatal(err)
	}
}

// TestKilledAtRandomMoments types notes and kills the session at a random moment: each time
// the next session offers the book, and it has every note whose entry had been answered.
func TestKilledAtRandomMoments(t *testing.T) {
	const benches = 4 // beside each other
	kills := 50
	if testing.Short() {
		kills = 3
	}
	for range benches {
		t.Run("", func(t *testing.T) {
			t.Parallel()
			killedAtRandomMoments(t, kills)
		})
	}
}

func killedAtRandomMoments(t *testing.T, kills int) {
	const together = 10 // kills of one book, before it is saved
	folder := t.TempDir()
	seed := rand.Uint64()
	random := rand.New(rand.NewPCG(seed, 0))
	var kept []string // must be in the journal
	flight := ""      // may be
	inFlight := 0     // how often it was
	// back takes up what the kill before left.
	back := func(kill int) (x *terminal, next int) {
		x = atTerminal(t, folder, 24, 80)
		came, next := x.resumes()
		switch {
		case slices.Equal(came, append(kept[:len(kept):len(kept)], flight)):
			inFlight++
		case !slices.Equal(came, kept):
			t.Fatalf("seed %d, before kill %d: %q came back, want %q and perhaps %q", seed, kill, came, kept, flight)
		}
		kept = came
		return x, next
	}
	var x *terminal
	next := 1
	for kill := range kills {
		if kill%together > 0 {
			x, next = back(kill)
		} else {
			if kill > 0 {
				x, next = back(kill)
				x.savesAll(folder, kept, next)
			}
			x, next, kept = atTerminal(t, folder, 24, 80), 1, nil
			x.shows("breakbook 1 | ")
		}
		var notes []string
		for i := range 8 {
			notes = append(notes, fmt.Sprintf("note %d of %d", i+1, kill))
		}
		x.enters(notes[0], next+1)
		x.press(strings.Join(notes[1:], "\r") + "\r")
		time.Sleep(time.Duration(random.Int64N(int64(20 * time.Millisecond))))
		x.process.Process.Kill()
		<-x.exit
		<-x.over
		x.keys.Close()
		shown := prompts.FindAllStringSubmatch(x.all(), -1)
		last, err := strconv.Atoi(shown[len(shown)-1][1])
		if err != nil {
			t.Fatal(err)
		}
		answered := last - next
		kept = append(kept, notes[:answered]...)
		if flight = ""; answered < len(notes) {
			flight = notes[answered]
		}
	}
	x, next = back(kills)
	x.savesAll(folder, kept, next)
	t.Logf("%d kills; an entry was in flight and kept in %d", kills, inFlight)
}

// TestClosedWindows closes the window of a session, twenty times: what was typed comes back.
func TestClosedWindows(t *testing.T) {
	folder := t.TempDir()
	windows := 20
	if testing.Short() {
		windows = 4
	}
	var want []string
	for i := range windows {
		environment := []string{"TERM=xterm"}
		if i%4 == 3 {
			environment = []string{"TERM=dumb"}
		}
		x := atTerminal(t, folder, 24, 80, environment...)
		next := 1
		if i > 0 {
			var back []string
			if back, next = x.resumes(); !slices.Equal(back, want) {
				t.Fatalf("window %d: %q came back, want %q", i, back, want)
			}
		} else {
			x.shows("breakbook 1 | ")
		}
		for k := range 2 {
			note := fmt.Sprintf("note %d in window %d", k, i)
			want = append(want, note)
			next++
			x.enters(note, next)
		}
		if i%2 == 0 {
			x.press("note never fini") // a line is being typed
		}
		x.keys.Close()
		select {
		case <-x.exit:
		case <-time.After(hangs):
			t.Fatal("lives on without a terminal")
		}
	}
	if left := journals(t, folder); len(left) != 1 {
		t.Errorf("%d journals: %q", len(left), left)
	}
}

// TestTwoAtOnceKeepOneHistory has two sessions type twenty commands each at the same time.
func TestTwoAtOnceKeepOneHistory(t *testing.T) {
	folder := t.TempDir()
	both := []*terminal{atTerminal(t, folder, 24, 80), atTerminal(t, folder, 24, 80)}
	var want []string
	for i, x := range both {
		x.shows("breakbook 1 | ")
		for k := range 20 {
			want = append(want, fmt.Sprintf("note %d of %d", k, i))
		}
	}
	for k := range 20 {
		for i, x := range both {
			x.press(want[20*i+k] + "\r")
		}
	}
	for i, x := range both {
		x.shows("breakbook 21 | ")
		if i == 0 {
			x.process.Process.Kill() // the history is there all the same
			<-x.exit
			continue
		}
		x.press("quit without saving\r")
		x.leaves(0)
	}
	text, err := os.ReadFile(filepath.Join(folder, "config", "breakbook", "history"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	found := 0
	for _, command := range want {
		if slices.Contains(lines, command) {
			found++
		}
	}
	if found != 40 || len(lines) != 41 { // and quit
		t.Errorf("%d of 40 commands are in the history of %d lines:\n%s", found, len(lines), text)
	}
	if left := journals(t, folder); len(left) != 1 {
		t.Errorf("%d journals, want that of the one that was killed", len(left))
	}
}

func TestLeavingWithUnsavedEntries(t *testing.T) {
	for _, c := range []struct{ name, keys, says string }{
		{"quit", "quit\r", "2 entries not saved: type resume next time\n"},
		{"Ctrl-D", "\x04", "2 entries not saved: type resume next time\n"},
		{"quit without saving", "quit without saving\r", ""},
		{"nothing left", "undo\rundo\rquit\r", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			x := atTerminal(t, folder, 24, 80)
			x.shows("breakbook 1 | ")
			x.enters("note one", 2)
			x.enters("help quit", 3)
			x.enters("nonsense", 4)
			x.enters("note two", 5)
			x.press(c.keys)
			x.leaves(0)
			<-x.over
			if last := x.all()[x.from:]; c.says != "" && !strings.HasSuffix(last, "\n"+c.says) ||
				c.says == "" && strings.Contains(last, "not saved") {
				t.Errorf("left with %q", last)
			}
			if left := journals(t, folder); (len(left) == 1) != (c.says != "") {
				t.Errorf("journals left: %q", left)
			}
		})
	}
}

// TestOnlyThePromptKeepsAJournal: commands from elsewhere leave nothing in the state folder.
func TestOnlyThePromptKeepsAJournal(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "a.brk"), []byte("note replayed\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"type", "note typed"}, {"replay", "a.brk"}, nil} {
		run := exec.Command(program, args...)
		run.Dir, run.Stdin = folder, strings.NewReader("note piped\n")
		run.Env = []string{"BREAKBOOK_AT_THE_PROMPT=1", "HOME=" + folder}
		if said, err := run.CombinedOutput(); err != nil {
			t.Fatalf("%q: %v\n%s", args, err, said)
		}
		if _, err := os.Stat(filepath.Join(folder, ".local")); err == nil {
			t.Errorf("%q left something in the state folder", args)
		}
	}
}

// TestStateFolderThatCannotBeWritten: one line says so, and nothing else changes.
func TestStateFolderThatCannotBeWritten(t *testing.T) {
	folder := t.TempDir()
	blocked := filepath.Join(folder, "blocked")
	if err := os.WriteFile(blocked, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	x := atTerminal(t, folder, 24, 80, "XDG_STATE_HOME="+blocked)
	start := x.shows("breakbook 1 | ")
	if strings.Count(start, "Caution: no journal of what is not saved can be kept") != 1 {
		t.Errorf("starts with %q", start)
	}
	x.enters("note one", 2)
	x.enters("resume", 3)
	if came := x.enters("note two", 4); strings.Contains(came, "Caution") {
		t.Errorf("said again: %q", came)
	}
	x.enters("save book kept.brk", 5)
	x.press("quit\r")
	x.leaves(0)
	<-x.over
	if strings.Contains(x.all()[x.from:], "not saved") {
		t.Errorf("left with %q", x.all()[x.from:])
	}
	if _, err := os.Stat(filepath.Join(folder, "kept.brk")); err != nil {
		t.Error(err)
	}
}
