package odds

import (
	"context"
	"math"

	"breakbook/models/parallel"
)

// pattern is the specimens whose columns are alike: one row of the design, and how many of
// them ended in each mode. A series of categories has only a few, however long it is.
type pattern struct {
	row   []float64
	count []float64 // by mode
	n     float64
}

// patterns gathers the specimens, in the order in which their rows are first met. It is
// parallel.Stopped where ctx ends.
func patterns(ctx context.Context, s Sample) []pattern {
	var out []pattern
	at := map[string]int{}
	row := make([]float64, len(s.Columns))
	for i, y := range s.Mode {
		parallel.LookAt(ctx, i)
		for c, column := range s.Columns {
			row[c] = column[i]
		}
		id := bits(row)
		k, met := at[id]
		if !met {
			k = len(out)
			at[id] = k
			out = append(out, pattern{row: append([]float64(nil), row...), count: make([]float64, s.Modes)})
		}
		out[k].count[y]++
		out[k].n++
	}
	return out
}

// bits is a row as a key of a map, −0 the same as 0.
func bits(row []float64) string {
	id := make([]byte, 0, 8*len(row))
	for _, x := range row {
		b := math.Float64bits(x + 0)
		for shift := 0; shift < 64; shift += 8 {
			id = append(id, byte(b>>shift))
		}
	}
	return string(id)
}
