package specimens

import (
	"testing"

	"breakbook/frames/reading"
	"breakbook/repl/page"
)

// 100 and 1400 kg/m3 themselves are wood; 87.4 lb/ft3 is 1400.01 kg/m3 by the exact pound and foot.
func TestDensitiesNoWoodHas(t *testing.T) {
	for _, c := range []struct {
		file  string
		count int
	}{
		{"density (kg/m3)\n100\n1400\n", 0}, {"density (kg/m3)\n99.9\n1400.1\n600\n", 2},
		{"density (g/cm3)\n0.62\n62\n", 1},
		{"density (lb/ft3)\n87.39\n87.4\n", 1}, {"density\n0.6\n9999\n", 0}, {"density (kg/m3)\n\n600\n", 0},
	} {
		f, _, err := reading.Read(t.Context(), "d.csv", []byte(c.file), reading.Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		got := DensityCautions(f, f.Columns())
		if c.count == 0 && got != nil ||
			c.count > 0 && (len(got) != 1 || got[0][0] != page.Part(page.Num{Value: float64(c.count),
				Style: page.Count})) {
			t.Errorf("%q: %q, want %d values", c.file, got, c.count)
		}
	}
}
