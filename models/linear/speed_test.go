package linear

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"breakbook/models/design"
)

// long is a model of n specimens and p number columns with no structure but one slope.
func long(n, p int) ([]float64, design.Model) {
	r := rand.New(rand.NewPCG(1, 2))
	var m design.Model
	for v := range p {
		x := make([]float64, n)
		for i := range x {
			x[i] = 600 + 40*r.NormFloat64()
		}
		m.Variables = append(m.Variables, number(fmt.Sprint("x", v), x))
		m.Terms = append(m.Terms, term(v))
	}
	y := make([]float64, n)
	for i := range y {
		y[i] = 3*m.Variables[0].Numbers[i] + 100*r.NormFloat64()
	}
	return y, m
}

// Wherever in its work an interrupt finds it, a fit stops and says so. How soon is
// BenchmarkInterrupt's to tell.
func TestInterrupt(t *testing.T) {
	y, m := long(400_000, 10)
	for _, after := range []time.Duration{0, 20, 60, 100} {
		ctx, cancel := context.WithCancel(context.Background())
		time.AfterFunc(after*time.Millisecond, cancel)
		if _, err := Solve(ctx, y, m); !errors.Is(err, context.Canceled) {
			t.Fatalf("not interrupted after %d ms: %v", after, err)
		}
	}
}

// The longest a fit went on after an interrupt, which is to be under 100 ms.
func BenchmarkInterrupt(b *testing.B) {
	y, m := long(400_000, 10)
	var longest time.Duration
	for n := 0; b.Loop(); n++ {
		ctx, cancel := context.WithCancel(context.Background())
		var asked time.Time
		time.AfterFunc(time.Duration(n%10)*15*time.Millisecond, func() { asked = time.Now(); cancel() })
		if _, err := Solve(ctx, y, m); errors.Is(err, context.Canceled) {
			longest = max(longest, time.Since(asked))
		}
	}
	b.ReportMetric(float64(longest.Milliseconds()), "ms-longest")
}

func BenchmarkSolve(b *testing.B) {
	for _, n := range []int{60, 10_000, 1_000_000} {
		y, m := long(n, 10)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				solve(b, y, m)
			}
		})
	}
}
