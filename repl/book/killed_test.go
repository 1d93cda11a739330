package book

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"breakbook/repl/page"
)

// notes is the entries of a session that typed n notes.
func notes(n int) []page.Entry {
	out := make([]page.Entry, n)
	for i := range out {
		out[i] = page.Entry{Number: i + 1, Input: fmt.Sprintf("note number %d of a day at the bench", i+1)}
	}
	return out
}

// die ends the process as kill -9 does.
func die() {
	self, err := os.FindProcess(os.Getpid())
	if err == nil {
		err = self.Kill()
	}
	if err != nil {
		panic(err)
	}
	select {}
}

// TestDying is the process that the tests below start: a session that types notes, undoes
// one now and then, and ends itself inside one of its steps. It says how far it came.
func TestDying(t *testing.T) {
	state, at := os.Getenv("BREAKBOOK_STATE"), strings.Fields(os.Getenv("BREAKBOOK_DIES"))
	if len(at) != 3 {
		t.Skip("only for the tests below")
	}
	round, err := strconv.Atoi(at[2])
	if err != nil {
		t.Fatal(err)
	}
	step := func(name string, half, whole func()) {
		if name != at[0] {
			whole()
			return
		}
		if round--; round > 0 {
			whole()
			return
		}
		switch at[1] {
		case "half":
			half()
		case "after":
			whole()
		}
		die()
	}
	appendTo = func(f *os.File, text []byte, to int64) (n int, err error) {
		step("append", func() { f.WriteAt(text[:len(text)/2], to) }, func() { n, err = f.WriteAt(text, to) })
		return n, err
	}
	cutTo = func(f *os.File, to int64) (err error) {
		step("cut", func() {}, func() { err = f.Truncate(to) })
		return err
	}
	syncFile = func(f *os.File) (err error) {
		step("sync", func() {}, func() { err = f.Sync() })
		return err
	}
	replace := replaceFile
	replaceFile = func(from, to string) (err error) {
		step("rename", func() {}, func() { err = replace(from, to) })
		return err
	}
	place := placeNew
	placeNew = func(from, to string) (err error) {
		step("rename", func() {}, func() { err = place(from, to) })
		return err
	}
	j, err := StartJournal(state, bench, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	prints := NewFingerprints("")
	for n := 1; n <= 100; n++ {
		if at[0] == "rename" {
			var piece Piece
			if piece, err = Save(filepath.Join(state, "kept.brk"), notes(n), nil); err == nil {
				_, err = Write(t.Context(), prints, Order{Pieces: []Piece{piece}})
			}
		} else {
			err = j.Keep(notes(n), nil)
		}
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println("kept", n)
		if n%3 == 0 && at[0] == "cut" { // undo, and the same again
			if err := j.Keep(notes(n-1), nil); err != nil {
				t.Fatal(err)
			}
			n--
			fmt.Println("kept", n)
			if err := j.Keep(notes(n+1), nil); err != nil {
				t.Fatal(err)
			}
			n++
			fmt.Println("kept", n)
		}
	}
	t.Fatal("lives on")
}

// died runs a session to its end inside a step and gives how many entries it had said were
// kept by then.
func died(t *testing.T, state, step, where string, round int) int {
	t.Helper()
	session := exec.Command(os.Args[0], "-test.run=^TestDying$")
	session.Env = append(os.Environ(), "BREAKBOOK_STATE="+state,
		fmt.Sprintf("BREAKBOOK_DIES=%s %s %d", step, where, round))
	said, err := session.Output()
	if err == nil || strings.Contains(string(said), "FAIL") {
		t.Fatalf("it did not die (%v): %s", err, said)
	}
	last := 0
	for line := range strings.Lines(string(said)) {
		if n, ok := strings.CutPrefix(strings.TrimSpace(line), "kept "); ok {
			if last, err = strconv.Atoi(n); err != nil {
				t.Fatal(err)
			}
		}
	}
	return last
}

// TestKilledInsideAStep ends a session inside the append, the sync and the cut of its
// journal: what it had said to be kept is there, and at most the entry in flight is not.
func TestKilledInsideAStep(t *testing.T) {
	for _, step := range []string{"append", "sync", "cut"} {
		for _, where := range []string{"before", "half", "after"} {
			if step != "append" && where == "half" {
				continue
			}
			for _, round := range []int{2, 3, 8} {
				t.Run(fmt.Sprint(step, " ", where, " ", round), func(t *testing.T) {
					state := t.TempDir()
					said := died(t, state, step, where, round)
					got := texts(t, state)
					if len(got) < said-1 || len(got) > said+1 || step != "cut" && len(got) < said {
						t.Errorf("%d entries, after %d were kept", len(got), said)
					}
					for i, e := range notes(len(got)) {
						if got[i] != e.Input {
							t.Errorf("entry %d is %q", i+1, got[i])
						}
					}
				})
			}
		}
	}
}

// TestKilledInsideTheRename ends a session while its saved book is kept up to date: the book
// is whole, with the entries that it had before or with one more.
func TestKilledInsideTheRename(t *testing.T) {
	for _, where := range []string{"before", "after"} {
		for _, round := range []int{1, 2, 9} {
			state := t.TempDir()
			said := died(t, state, "rename", where, round)
			lines, _, err := Load(t.Context(), filepath.Join(state, "kept.brk"))
			if said == 0 && where == "before" {
				if err == nil {
					t.Errorf("a book of %d lines before its first rename", len(lines))
				}
				continue
			}
			want := said
			if where == "after" {
				want++
			}
			if err != nil || len(lines) != want || lines[want-1].Text != notes(want)[want-1].Input {
				t.Errorf("%s rename %d: %d lines, %v, want %d", where, round, len(lines), err, want)
			}
		}
	}
}
