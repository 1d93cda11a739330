package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// Whoever takes the results may close the output; the run then ends, with a status and a
// message that say so.
func TestAClosedOutputIsAFailure(t *testing.T) {
	for _, args := range [][]string{{"man"}, {"type", "open gates.csv; look; write late.csv"},
		{"--json", "type", "open gates.csv; look; write late.csv"}} {
		read, write, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := read.Close(); err != nil {
			t.Fatal(err)
		}
		gates, err := os.ReadFile("../../testdata/demo/gates.csv")
		if err != nil {
			t.Fatal(err)
		}
		folder := t.TempDir()
		if err := os.WriteFile(folder+"/gates.csv", gates, 0o666); err != nil {
			t.Fatal(err)
		}
		var said bytes.Buffer
		c := exec.Command(os.Args[0], args...)
		c.Args[0], c.Dir, c.Stdout, c.Stderr = "breakbook", folder, write, &said
		c.Env = append(os.Environ(), "HOME="+folder)
		err = c.Run()
		var ended *exec.ExitError
		if !errors.As(err, &ended) || ended.ExitCode() != 1 {
			t.Errorf("%v: %v, want exit status 1", args, err)
		}
		if !strings.Contains(said.String(), "not everything could be shown") {
			t.Errorf("%v: it says %q", args, said.String())
		}
		if _, err := os.Stat(folder + "/late.csv"); err == nil {
			t.Errorf("%v: commands ran on after the output was closed", args)
		}
		if err := write.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
