package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// The committed demo files are what the generator gives, byte for byte.
func TestCommittedDemo(t *testing.T) {
	folder := t.TempDir()
	var out, errs bytes.Buffer
	if status := dispatch(t.Context(), []string{"demo", "--to", folder}, &out, &errs); status != 0 {
		t.Fatalf("status %d: %s", status, &errs)
	}
	made, err := os.ReadDir(folder)
	if err != nil || len(made) != 5 {
		t.Fatalf("%d files made, want 5 (%v)", len(made), err)
	}
	for _, f := range made {
		got, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join("..", "..", "testdata", "demo", f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not what the generator gives; run: go run ./cmd/measure demo", f.Name())
		}
	}
}

func TestAnotherSeedIsAnotherSeries(t *testing.T) {
	folder := t.TempDir()
	if status := dispatch(t.Context(), []string{"demo", "--seed", "12", "--to", folder}, &bytes.Buffer{},
		&bytes.Buffer{}); status != 0 {
		t.Fatal("status", status)
	}
	got, err := os.ReadFile(filepath.Join(folder, "gates.csv"))
	if err != nil {
		t.Fatal(err)
	}
	committed, err := os.ReadFile(filepath.Join("..", "..", "testdata", "demo", "gates.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(got, committed) {
		t.Error("seed 12 gives the committed series")
	}
}

func TestWrongCalls(t *testing.T) {
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{nil, 2, "writes the demo series"},
		{[]string{"weather"}, 2, "demo"},
		{[]string{"demo", "--to", filepath.Join("no", "such", "folder")}, 1, "measure demo:"},
		{[]string{"demo", "--seed", "x"}, 1, "seed"},
	} {
		var out, errs bytes.Buffer
		if status := dispatch(t.Context(), c.args, &out, &errs); status != c.status ||
			!bytes.Contains(errs.Bytes(), []byte(c.says)) {
			t.Errorf("%q: status %d, says %q; want %d and %q", c.args, status, &errs, c.status, c.says)
		}
	}
}
