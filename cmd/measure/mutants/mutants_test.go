package mutants

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const source = `package mode

import "strconv"

var share = 0.5

func half(n int, x float64) float64 {
	if n > 1 {
		return x * share
	}
	return x / 2
}

func (t table) rows(a, b int) (int, error) {
	if a == b {
		return 0, errors.New("1 is 2")
	}
	return a - b, nil
}

func said(x float64) string { return strconv.FormatFloat(x, 'g', -1, 32+1) }
`

// changes are the places of a source, as they are shown.
func changes(t *testing.T, source string) []string {
	t.Helper()
	found, err := mutantsIn("repl/mode/mode.go", []byte(source))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, m := range found {
		out = append(out, m.was+" becomes "+m.now)
		if got := string(m.apply([]byte(source))); got == source || len(got)-len(source) != len(m.now)-len(m.was) {
			t.Errorf("%s changes the source to\n%s", m, got)
		}
	}
	return out
}

func TestPlacesOfASource(t *testing.T) {
	want := []string{
		"0.5 becomes 1",
		"n > 1 becomes !(n > 1)", "n > 1 becomes n >= 1", "1 becomes 2", "x * share becomes x / share",
		"x / 2 becomes x * 2", "2 becomes 1",
		"a == b becomes !(a == b)", "a == b becomes a != b", "a - b becomes a + b",
		"32+1 becomes 32-1", "1 becomes 2",
	}
	if got := changes(t, source); !slices.Equal(got, want) {
		t.Errorf("the places are\n%s", strings.Join(got, "\n"))
	}
}

// drawn draws places of one package that holds this source.
func drawn(t *testing.T, source string, places int, seed uint64) []string {
	t.Helper()
	root := t.TempDir()
	folder := filepath.Join(root, "models", "mode")
	if err := os.MkdirAll(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "mode.go"), []byte(source), 0o666); err != nil {
		t.Fatal(err)
	}
	queues, err := drawMutants(root, []sourcePackage{{ImportPath: modelPackages + "mode", Dir: folder}}, "", places,
		seed)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, q := range queues {
		out = append(out, q[0].within+": "+q[0].was+" becomes "+q[0].now)
	}
	return out
}

// A draw stays as it was where other places of the source are changed, moved or taken away.
func TestDrawsKeepTheirPlaces(t *testing.T) {
	was := drawn(t, source, 8, 3)
	if len(was) != 4 {
		t.Fatalf("drawn: %q", was)
	}
	now := drawn(t, strings.NewReplacer("package mode", "// Package mode is new.\npackage mode", "a == b", "b != a").
		Replace(source), 8, 3)
	for i, p := range was {
		if !strings.Contains(p, "a == b") && !slices.Contains(now, p) {
			t.Errorf("place %d, %s, is no longer drawn: %q", i, p, now)
		}
	}
	another := false
	for seed := range uint64(20) {
		another = another || !slices.Equal(was, drawn(t, source, 8, seed))
	}
	if !another {
		t.Error("every seed draws the same places")
	}
}
