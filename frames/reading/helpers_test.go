package reading

import (
	"math"
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

const gates = `specimen,pins,thickness (mm),density (kg/m3),load (N),failure
t1,none,34,612,640,glue
t2,pair,44,598,1012,wood
t3,none,44,,701,glue
t4,four,34,655,,pins
t10,Single,34,640,850.5,wood
t5,none,34,601,655,
`

func opened(t testing.TB, file string) *frames.Frame {
	t.Helper()
	f, _, err := Read(t.Context(), "gates.csv", []byte(file), Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func rows(mask []bool) []int {
	var at []int
	for i, m := range mask {
		if m {
			at = append(at, i+1)
		}
	}
	return at
}

var exactNumbers = []float64{0, math.Copysign(0, -1), 1e-300, 5e-324, math.MaxFloat64, -1e300, 1 << 53, 1<<53 + 2, 1e15, 123456789012345678, 0.1, 1.0 / 3, math.Inf(1), math.Inf(-1)}
