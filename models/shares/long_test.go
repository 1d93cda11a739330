package shares

import (
	"context"
	"math"
	"reflect"
	"runtime"
	"slices"
	"sync"
	"testing"

	"breakbook/models/design"
	"breakbook/models/resample"
)

// longTable is a long series in which factors and numbers went together.
func longTable(n int) (table, []float64) {
	draw := resample.Stream(5, 0)
	var d table
	y := make([]float64, n)
	for i := range y {
		d.A, d.B, d.C = append(d.A, draw.IntN(3)), append(d.B, draw.IntN(2)), append(d.C, draw.IntN(2))
		d.X = append(d.X, draw.NormFloat64()+float64(d.A[i]))
		d.Z = append(d.Z, 600+40*draw.NormFloat64()+10*d.X[i])
		y[i] = 5000 + 100*(float64(d.A[i]*(1-d.B[i]))+0.3*d.X[i]+0.01*d.Z[i]+draw.NormFloat64())
	}
	return d, y
}

// A resample worked out from products has the coordinates of one worked out column by
// column: the same value for every set of terms, weighted or not, with combined terms.
func TestLongResamplesAreThoseOfTheColumns(t *testing.T) {
	ctx := context.Background()
	d, y := longTable(longSeries)
	draw := resample.Stream(7, 0)
	weights := make([]float64, len(y))
	for i := range weights {
		weights[i] = float64(1 + i%5)
	}
	for _, terms := range [][]string{{"a", "b", "x", "z"}, {"a", "b", "a:b", "x"}, {"x", "x*x", "a"}} {
		for _, w := range [][]float64{nil, weights} {
			m := d.model(terms)
			m.Weights = w
			g, p := laid(t, y, m)
			for range 3 {
				count := make([]float64, len(y))
				for range count {
					count[draw.IntN(len(count))]++
				}
				by, ok := newLong(context.Background(), g).resampled(g, count)
				if !ok {
					t.Fatal("not worked out from products")
				}
				column, _ := g.resampled(ctx, count)
				got, want := by.every(ctx, p), column.every(ctx, p)
				for set := range want {
					near(t, "value of a set", got[set], want[set], 1e-12)
				}
			}
		}
	}
}

// laid is the model of a measure as OfMeasure lays it out, for columns as they come.
func laid(t *testing.T, y []float64, m design.Model) (*measure, *precedence) {
	t.Helper()
	terms, p, err := spell(context.Background(), len(y), m)
	if err != nil {
		t.Fatal(err)
	}
	var kept []int
	var root []float64
	for i := range y {
		kept, root = append(kept, i), append(root, math.Sqrt(m.Weight(i)))
	}
	g := &measure{n: len(y), baseline: root, y: picked(kept, root, y), terms: pickedTerms(kept, root, terms)}
	if !g.reduce(context.Background()) {
		t.Fatal("the response does not vary")
	}
	return g, p
}

// A resample that has lost a level is worked out column by column.
func TestALostLevelIsNoDirection(t *testing.T) {
	d, y := longTable(longSeries)
	for i := range d.A {
		d.A[i] = d.A[i] % 2
	}
	d.A[17] = 2
	g, _ := laid(t, y, d.model([]string{"a", "x"}))
	g.long = newLong(context.Background(), g)
	count := slices.Repeat([]float64{1}, len(y))
	count[17] = 0
	if _, ok := g.long.resampled(g, count); ok {
		t.Error("worked out from products")
	}
	out, ok := g.resampled(context.Background(), count)
	if !ok || out.(*measure).rank != 2 {
		t.Errorf("%v: rank %d, want 2", ok, out.(*measure).rank)
	}
}

// Progress of a long series' parting only goes up, to the end.
func TestPartingTellsHowFarItHasCome(t *testing.T) {
	d, y := longTable(longSeries)
	var guard sync.Mutex
	last, all := 0, 0
	before := runtime.GOMAXPROCS(1) // so that calls come in order
	_, err := OfMeasure(context.Background(), y, d.model([]string{"a", "x"}), Options{Resamples: 50, Times: 500,
		Progress: func(done, total int) {
			guard.Lock()
			defer guard.Unlock()
			if done < last || done > total {
				t.Errorf("%d of %d after %d", done, total, last)
			}
			last, all = done, total
		}})
	runtime.GOMAXPROCS(before)
	if err != nil || all == 0 || last != all {
		t.Errorf("%v: %d of %d at the end", err, last, all)
	}
}

// Intervals and probabilities of a long series are the same on one core.
func TestOneCorePartsALongSeriesAsMany(t *testing.T) {
	d, y := longTable(6000)
	run := func() *Result {
		r, err := OfMeasure(context.Background(), y, d.model([]string{"a", "x", "z"}),
			Options{Seed: 3, Resamples: 60, Times: 5000})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	many := run()
	before := runtime.GOMAXPROCS(1)
	one := run()
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(many, one) {
		t.Errorf("one core: %+v, many: %+v", one, many)
	}
}
