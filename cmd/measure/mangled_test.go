package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A few hundred lines do no harm, and nothing of theirs stays behind.
func TestMangledLinesDoNoHarm(t *testing.T) {
	counts(t)
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	t.Setenv("TMP", temp)
	t.Setenv("HOME", temp)
	t.Setenv("USERPROFILE", temp)
	tally, m := &tally{}, mustMangle(t)
	for tally.lines < 300 {
		if err := tally.session(t.Context(), m, linesEach); err != nil {
			t.Fatal(err)
		}
	}
	if len(tally.panics) > 0 {
		t.Errorf("not foreseen: %s", strings.Join(tally.panics, "\n"))
	}
	if tally.worked == 0 || tally.failed == 0 {
		t.Errorf("%d worked, %d were refused", tally.worked, tally.failed)
	}
	if left, _ := filepath.Glob(filepath.Join(temp, "*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func mustMangle(t *testing.T) *mangler {
	t.Helper()
	m, err := newMangler(2)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Panics, slow lines and memory that grows are errors, with the line.
func TestMangledLinesAreCounted(t *testing.T) {
	for said, one := range map[string]*tally{"": {least: 1 << 20, most: 2 << 20},
		"memory grew": {least: 1 << 20, most: 200 << 20}} {
		one.count("look", "", true, time.Second, time.Second)
		if err := one.report(&bytes.Buffer{}); (err == nil) != (said == "") || err != nil && err.Error() != said {
			t.Errorf("%v, want %q", err, said)
		}
	}
	bad := &tally{}
	bad.count("crash me", "breakbook met something it did\nnot foresee (x)", false, 0, 0)
	bad.count("wait for me", "", true, 3*time.Second, time.Second)
	var out bytes.Buffer
	if err := bad.report(&out); err == nil || !strings.Contains(out.String(), "crash me") ||
		!strings.Contains(out.String(), "wait for me") {
		t.Errorf("%v\n%s", err, out.String())
	}
}

// No line leads out of the folder.
func TestMangledLinesStayWithin(t *testing.T) {
	for line, want := range map[string]string{"write /etc/x.csv": "write ·etc/x.csv",
		"save book ~x.brk": "save book ·x.brk", "write ../x.csv": "write ·/x.csv",
		"density 600 kg/m3": "density 600 kg/m3"} {
		if got := within(line); got != want {
			t.Errorf("%q: %q, want %q", line, got, want)
		}
	}
}
