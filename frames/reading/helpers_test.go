package reading

import (
	"math"
	"testing"

	"breakbook/frames"
)

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

var exactNumbers = []float64{0, math.Copysign(0, -1), 1e-300, 5e-324, math.MaxFloat64, -1e300, 1 << 53, 1<<53 + 2,
	1e15, 123456789012345678, 0.1, 1.0 / 3, math.Inf(1), math.Inf(-1)}
