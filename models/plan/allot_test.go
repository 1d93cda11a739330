package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// leastGap tries every way of giving blanks to levels.
func leastGap(columns [][]float64, levels int) float64 {
	n := len(columns[0])
	w := &allotting{levels: levels}
	for _, c := range columns {
		mean := 0.0
		for _, x := range c {
			mean += x / float64(n)
		}
		ss := 0.0
		for _, x := range c {
			ss += (x - mean) * (x - mean)
		}
		z := make([]float64, n)
		for i, x := range c {
			z[i] = (x - mean) / math.Sqrt(ss/float64(n-1))
		}
		w.z = append(w.z, z)
	}
	room := make([]int, levels)
	for i := range n {
		room[i%levels]++
	}
	level, best := make([]int, n), math.Inf(1)
	var fill func(i int)
	fill = func(i int) {
		if i == n {
			w.take(level)
			best = math.Min(best, w.gap())
			return
		}
		for l := range levels {
			if room[l] > 0 {
				room[l]--
				level[i] = l
				fill(i + 1)
				room[l]++
			}
		}
	}
	fill(0)
	return best
}

// The exchange finds what trying every way finds, in twelve random cases of 6 to 12 blanks.
func TestAllotEqualsEnumeration(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 1))
	for _, c := range []struct{ n, levels, columns int }{{6, 2, 1}, {7, 2, 2}, {8, 2, 1}, {8, 3, 1}, {9, 3, 2},
		{9, 3, 1}, {10, 2, 2},
		{10, 3, 1}, {11, 2, 1}, {12, 2, 3}, {12, 2, 1}, {12, 3, 1}} {
		columns := make([][]float64, c.columns)
		for i := range columns {
			for range c.n {
				columns[i] = append(columns[i], 640+40*draw.NormFloat64())
			}
		}
		a, err := Allot(context.Background(), columns, nil, c.levels, 1)
		if err != nil {
			t.Fatal(err)
		}
		if want := leastGap(columns, c.levels); math.Abs(a.Gap-want) > 1e-9 {
			t.Errorf("%+v: gap %g, the least there is %g", c, a.Gap, want)
		}
	}
}

// twoHundred are two measures of 200 blanks cut from 20 boards.
func twoHundred() (columns [][]float64, blocks []int) {
	draw := rand.New(rand.NewPCG(4, 1))
	columns, blocks = make([][]float64, 2), make([]int, 200)
	for i := range blocks {
		blocks[i] = i / 10
		columns[0] = append(columns[0], 640+40*draw.NormFloat64())
		columns[1] = append(columns[1], 12+draw.NormFloat64())
	}
	return columns, blocks
}

func BenchmarkAllotTwoHundred(b *testing.B) {
	columns, blocks := twoHundred()
	for b.Loop() {
		if _, err := Allot(context.Background(), columns, [][]int{blocks}, 4, 7); err != nil {
			b.Fatal(err)
		}
	}
}

// 200 blanks of 20 boards go to four levels, 50 each, boards spread evenly, the same for the
// same seed.
func TestAllotTwoHundred(t *testing.T) {
	columns, blocks := twoHundred()
	a, err := Allot(context.Background(), columns, [][]int{blocks}, 4, 7)
	if err != nil {
		t.Fatal(err)
	}
	size := make([]int, 4)
	for _, l := range a.Level {
		size[l]++
	}
	if a.Gap > 0.01 || a.Uneven != 0 || !slices.Equal(size, []int{50, 50, 50, 50}) {
		t.Errorf("gap %g, uneven by %d, sizes %v", a.Gap, a.Uneven, size)
	}
	if b, _ := Allot(context.Background(), columns, [][]int{blocks}, 4, 7); !slices.Equal(a.Level, b.Level) {
		t.Error("the same seed gives another allotment")
	}
}
