package odds

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// many is a thousand specimens with four columns of numbers, in three modes.
func many() Sample {
	draw := rand.New(rand.NewPCG(7, 11))
	s := Sample{Modes: 3, Columns: make([][]float64, 5)}
	for range 1000 {
		eta := 0.0
		s.Columns[0] = append(s.Columns[0], 1)
		for c := 1; c < 5; c++ {
			x := draw.NormFloat64()
			s.Columns[c] = append(s.Columns[c], x)
			eta += x / float64(c)
		}
		mode := 0
		if draw.Float64() < 1/(1+math.Exp(-eta)) {
			mode = 1 + draw.IntN(2)
		}
		s.Mode = append(s.Mode, mode)
	}
	return s
}

func BenchmarkThousandSpecimens(b *testing.B) {
	s := many()
	for b.Loop() {
		f, err := Solve(context.Background(), s)
		if err != nil {
			b.Fatal(err)
		}
		if f.Separated {
			b.Fatal("not parted")
		}
	}
}

func BenchmarkLinearProgram(b *testing.B) {
	m := newModel(b.Context(), many())
	for b.Loop() {
		if m.mayBeSeparated(b.Context()) {
			b.Fatal("not parted")
		}
	}
}
