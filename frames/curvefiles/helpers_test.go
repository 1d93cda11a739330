package curvefiles

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"breakbook/frames"
	"breakbook/frames/units"
)

// files writes texts into a folder and gives their paths in order.
func filesOf(t *testing.T, named ...string) []string {
	t.Helper()
	folder := t.TempDir()
	var paths []string
	for i := 0; i < len(named); i += 2 {
		path := filepath.Join(folder, named[i])
		if err := os.WriteFile(path, []byte(named[i+1]), 0o666); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

func unitOf(t *testing.T, s string) units.Unit {
	t.Helper()
	u, ok := units.Parse(s)
	if !ok {
		t.Fatalf("%s is no unit", s)
	}
	return u
}

func curveOf(t *testing.T, c *frames.Curves, name string) (slip, load []float64) {
	t.Helper()
	i := slices.Index(c.Names, name)
	if i < 0 {
		t.Fatalf("no curve %s among %v", name, c.Names)
	}
	return c.Curve(i)
}
