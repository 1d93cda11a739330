package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TestContactSheet draws the pictures of testdata/figures/contact.brk, on awkward data, and holds them to those
// that are kept there. Someone who changed how pictures look writes them anew with -update, and looks through
// testdata/figures/contact.html.
func TestContactSheet(t *testing.T) {
	if testing.Short() {
		t.Skip("pictures to the byte, looked at without -short")
	}
	const kept, leastPictures = "../../testdata/figures", 40
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	out := t.TempDir()
	book := filepath.Join(kept, "contact.brk")
	said, err := (&exec.Cmd{Path: self, Args: []string{"breakbook", "--quiet", "--out", out, "replay",
		book}}).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	drawn, err := filepath.Glob(filepath.Join(out, "*.svg"))
	if err != nil || len(drawn) < leastPictures {
		t.Fatalf("%d pictures, want %d or more (%v)", len(drawn), leastPictures, err)
	}
	page := bytes.NewBufferString("<!DOCTYPE html>\n<title>Pictures on awkward data</title>\n")
	for _, path := range drawn {
		name := filepath.Base(path)
		fmt.Fprintf(page, "<figure><img src=%q alt=\"\" width=\"640\"><figcaption>%s</figcaption></figure>\n", name,
			name)
		is, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if *update {
			if err := os.WriteFile(filepath.Join(kept, name), is, 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		was, err := os.ReadFile(filepath.Join(kept, name))
		if err != nil {
			t.Error(err)
			continue
		}
		if !bytes.Equal(is, was) {
			t.Errorf("%s looks otherwise; go test ./cmd/breakbook -run Contact -update writes it anew", name)
		}
	}
	if *update {
		if err := os.WriteFile(filepath.Join(kept, "contact.html"), page.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
