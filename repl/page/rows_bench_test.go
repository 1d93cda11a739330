package page

import "testing"

// BenchmarkFilled makes a table as long as the build-up of a million specimens.
func BenchmarkFilled(b *testing.B) {
	type row struct {
		Level  string  `id:"{by}"`
		Mode   string  `id:"mode"`
		Load   float64 `id:"load" unit:"{y}"`
		AtRisk int     `id:"at_risk"`
		Share  float64 `id:"share" style:"fraction"`
		Low    float64 `id:"low" style:"fraction"`
		High   float64 `id:"high" style:"fraction"`
	}
	rows := make([]row, 1_000_000)
	for b.Loop() {
		Filled(Table{ID: "buildup"}, rows, Names{"by": "pins"})
	}
}
