package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// A book is run again on a sheet that has grown while its session was open: what changed, in JSON. Of
// four joints a level nobody can tell 30 N; of twelve the difference is 30 N with a standard error of
// some 11 N (by hand from the list).
func TestAgainAllOnAGrownSheet(t *testing.T) {
	off := []int{-20, 14, 3, -9, 21, -15, 8, -2, 17, -11, 10, -16}
	grown := func(each int) {
		t.Helper()
		text := "specimen,load (N),pins\n"
		for i := range each {
			text += fmt.Sprintf("N%02d,%d,none\nP%02d,%d,pair\n", i, 400+2*off[i], i, 430+2*off[(i+5)%len(off)])
		}
		if err := os.WriteFile("daily.csv", []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	grown(4)
	c := &exec.Cmd{Path: self, Args: []string{"breakbook", "--json"}, Stderr: os.Stderr}
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<20)
	typed := func(line string) string {
		t.Helper()
		if _, err := fmt.Fprintln(in, line); err != nil {
			t.Fatal(err)
		}
		if !lines.Scan() {
			t.Fatalf("%s: nothing came of it (%v)", line, lines.Err())
		}
		if err := valid(lines.Text() + "\n"); err != nil {
			t.Error(err)
		}
		return lines.Text()
	}
	typed("open daily.csv")
	if got := typed("compare load by pins"); !strings.Contains(got, `"cannot tell"`) {
		t.Errorf("of four a level: %s", got)
	}
	grown(12)
	got := typed("again all")
	for _, want := range []string{"1 answer changed, of 1 in 2 entries; 16 specimens are new.",
		"pair against none: cannot tell → differs.", `"changed":1`, `"new":16`, `"gone":0`, `"failed":0`} {
		if !strings.Contains(got, want) {
			t.Errorf("nothing says %q: %s", want, got)
		}
	}
	if err := in.Close(); err != nil {
		t.Error(err)
	}
	if err := c.Wait(); err != nil {
		t.Error(err)
	}
}
