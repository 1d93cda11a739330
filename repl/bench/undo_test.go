package bench

import (
	"reflect"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// contents is what a session holds but for the number of the entry to come, the count of tests
// that were run and what can be undone.
type contents struct {
	current  string
	frames   map[string]*frames.Frame
	results  []phrase.KnownResult
	entries  []page.Entry
	settings session.Settings
	sources  []session.Source
	aside    []session.Aside
}

func state(s *session.Session) contents {
	h := contents{current: s.Current(), frames: map[string]*frames.Frame{}, results: s.Results(), entries: s.Entries(),
		settings: s.Settings(), sources: s.Sources(), aside: s.Aside()}
	for _, name := range s.SeriesNames() {
		h.frames[name], _ = s.Frame(name)
	}
	return h
}

// TestUndoTakesBackEveryKind types the example of every command that is booked and takes
// it back: the session is as it was, and the numbers stay used.
func TestUndoTakesBackEveryKind(t *testing.T) {
	for _, e := range entriesFrom(0) {
		if unbooked[e.Kind] || e.Name == "show result" || e.Name == "show caution" {
			continue
		}
		t.Run(e.Name, func(t *testing.T) {
			b := newBench(t)
			b.run(ready(e.Name)...)
			before, booked, next := state(b.s), b.s.Count(), b.s.Next()
			b.run(e.Example)
			if got := b.s.Count(); got != booked+1 {
				t.Fatalf("%s: %d entries in the book, want %d", e.Example, got, booked+1)
			}
			b.run("undo")
			if after := state(b.s); !reflect.DeepEqual(before, after) {
				t.Errorf("undo of %s leaves another session than there was", e.Example)
			}
			if b.s.Next() != next+2 {
				t.Errorf("after undo of %s comes entry %d, want %d", e.Example, b.s.Next(), next+2)
			}
		})
	}
}

func TestUndoGoesBackToTheStart(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "treat thickness as category", "worth 5%", "fit load on pins", "note done")
	b.run("undo", "undo", "undo")
	if len(b.s.Results()) != 0 || b.s.Settings().Worth.Share != 0.10 {
		t.Errorf("results %v, worth %v after taking back the fit and the worth", b.s.Results(), b.s.Settings().Worth)
	}
	b.run("undo", "undo")
	if len(b.s.SeriesNames()) != 0 || b.s.Count() != 0 || b.s.Current() != "" {
		t.Errorf("%d series, %d entries, %q current after taking everything back", len(b.s.SeriesNames()), b.s.Count(),
			b.s.Current())
	}
	_, err := b.try("undo")
	if p, ok := err.(*page.Problem); !ok || p.Code != "nothing-to-undo" {
		t.Errorf("undo of nothing: %v", err)
	}
	if b.s.Next() != 11 {
		t.Errorf("entry %d comes next, want 11", b.s.Next())
	}
}

// TestUndoKeepsWhatWasDone: a test that was run stays counted, a file that was written
// stays and is named.
func TestUndoKeepsWhatWasDone(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv", "compare load by pins", "undo", "compare load by pins", "undo", "average load by pins")
	looks := b.s.Looks()
	if len(looks) != 1 || looks[0].Tests != 3 {
		t.Errorf("looks %v, want 3 tests of one response", looks)
	}
	b.run("draw load by pins to pins.svg")
	if said := words(b.run("undo").Findings); !strings.Contains(said, "pins.svg stays") {
		t.Errorf("undo of a figure says %q", said)
	}
	b.run("report gates.html")
	if said := words(b.run("undo").Findings); !strings.Contains(said, "gates.html stays") {
		t.Errorf("undo of a report says %q", said)
	}
}

// words are the words of sentences, without their numbers.
func words(all []page.Sentence) string {
	var out strings.Builder
	for _, s := range all {
		for _, part := range s {
			if w, ok := part.(page.Word); ok {
				out.WriteString(string(w))
			}
		}
		out.WriteString(" ")
	}
	return out.String()
}

// TestFailuresLeaveTheSession: a command that fails gives back the session it was given.
func TestFailuresLeaveTheSession(t *testing.T) {
	for _, line := range []string{
		"fit load on nothing", "fit load on load", "fit load on density for density > 5000",
		"compare load by pins for pins is none",
		"open gates.csv", "open nowhere.csv", "open gates_spring.csv as fit1", "fit load on density as gates",
		"compare load by pins worth 10 mm", "confidence 20%", "digits 99", "draw load by pins to pins.gif",
		"report gates.doc",
		"predict fit1 given pins none", "levels of pins are none, none",
	} {
		b := newBench(t)
		b.run("open gates.csv", "fit load on density")
		before := b.s
		was := state(before)
		if _, err := b.try(line); err == nil {
			t.Errorf("%s works", line)
		}
		if b.s != before || !reflect.DeepEqual(was, state(b.s)) {
			t.Errorf("%s leaves another session", line)
		}
	}
}
