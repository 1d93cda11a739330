package linear

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"sync/atomic"
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

// interrupted is a context that is cancelled once it has been looked at so many times.
type interrupted struct {
	context.Context
	looks *atomic.Int64
}

func (c interrupted) Err() error {
	if c.looks.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

// Wherever in its work an interrupt finds it, a fit stops at its next look and says so.
// How soon that is, is BenchmarkInterrupt's to tell.
func TestInterrupt(t *testing.T) {
	y, m := long(40_000, 10)
	var looks atomic.Int64
	looks.Store(math.MaxInt64)
	if _, err := Solve(interrupted{context.Background(), &looks}, y, m); err != nil {
		t.Fatal(err)
	}
	all := math.MaxInt64 - looks.Load()
	if all < 20 {
		t.Fatalf("looked only %d times", all)
	}
	step := int64(1)
	if testing.Short() {
		step = 7
	}
	for after := int64(0); after < all; after += step {
		looks.Store(after)
		if _, err := Solve(interrupted{context.Background(), &looks}, y, m); !errors.Is(err, context.Canceled) {
			t.Fatalf("not interrupted at look %d of %d: %v", after, all, err)
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
