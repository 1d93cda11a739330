package main

import (
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// TestReadmeShowsWhatTheProgramSays types the tour of the README and looks for every
// line that the README shows of the answers.
func TestReadmeShowsWhatTheProgramSays(t *testing.T) {
	page, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile("(?s)```text\n(.*?)```").FindAllStringSubmatch(string(page), -1)
	if len(blocks) < 4 {
		t.Fatalf("the tour has %d blocks, want commands and answers by turns", len(blocks))
	}
	typed := "open ../../testdata/demo/gates.csv"
	for i := 0; i < len(blocks); i += 2 {
		typed += "; " + strings.TrimSpace(blocks[i][1])
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	out, err := (&exec.Cmd{Path: self, Args: []string{"breakbook", "type", typed}}).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for i := 1; i < len(blocks); i += 2 {
		if !strings.Contains(string(out), blocks[i][1]) {
			t.Errorf("the program does not say\n%s", blocks[i][1])
		}
	}
}
