package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// farthest is how far an allotment is from matching, worked out level by level from the values themselves:
// the blanks of blocks beyond an even spread, and the larger of the gaps in mean and in ln sd.
func farthest(columns [][]float64, blocks [][]int, level []int, levels int) (uneven int, mean, spread float64) {
	for _, c := range columns {
		_, whole := stat.MeanStdDev(c, nil)
		var means, spreads []float64
		for l := range levels {
			var own []float64
			for i, x := range c {
				if level[i] == l {
					own = append(own, x)
				}
			}
			m, sd := stat.MeanStdDev(own, nil)
			means = append(means, m/whole)
			if len(own) > 1 {
				spreads = append(spreads, math.Log(max(sd/whole, leastSpread)))
			}
		}
		mean = max(mean, slices.Max(means)-slices.Min(means))
		if len(spreads) > 0 {
			spread = max(spread, slices.Max(spreads)-slices.Min(spreads))
		}
	}
	for _, codes := range blocks {
		for block := range slices.Max(codes) + 1 {
			count := make([]int, levels)
			for i, c := range codes {
				if c == block {
					count[level[i]]++
				}
			}
			uneven += max(0, slices.Max(count)-slices.Min(count)-1)
		}
	}
	return uneven, mean, spread
}

// nearest tries every way of giving blanks to levels: the fewest beyond an even spread of the blocks,
// and the smallest gap that there is with so few.
func nearest(columns [][]float64, blocks [][]int, levels int) (uneven int, gap float64) {
	n := len(columns[0])
	room := make([]int, levels)
	for i := range n {
		room[i%levels]++
	}
	level := make([]int, n)
	uneven, gap = math.MaxInt, math.Inf(1)
	var fill func(i int)
	fill = func(i int) {
		if i == n {
			u, mean, spread := farthest(columns, blocks, level, levels)
			if g := max(mean, spread); u < uneven || u == uneven && g < gap {
				uneven, gap = u, g
			}
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
	return uneven, gap
}

// smallCases are random blanks, 5 to 12 of them, some from boards.
var smallCases = []struct{ n, levels, columns, boards int }{{5, 2, 1, 0}, {6, 2, 1, 0}, {6, 3, 2, 0}, {7, 2, 2, 3},
	{8, 2, 1, 0}, {8, 3, 1, 2}, {8, 4, 2, 0}, {9, 3, 2, 3}, {9, 2, 1, 0}, {10, 2, 2, 4}, {10, 3, 1, 0}, {11, 2, 1, 5},
	{12, 2, 3, 0}, {12, 2, 1, 3}, {12, 3, 1, 4}, {12, 3, 2, 0}}

func smallCase(draw *rand.Rand, n, columns, boards int) (values [][]float64, blocks [][]int) {
	values = make([][]float64, columns)
	for c := range values {
		for range n {
			values[c] = append(values[c], 640+40*draw.NormFloat64())
		}
	}
	if boards > 0 {
		codes := make([]int, n)
		for i := range codes {
			codes[i] = draw.IntN(boards)
		}
		blocks = [][]int{codes}
	}
	return values, blocks
}

// What is given out is what trying every way finds, in means, spreads and blocks, and
// the gaps told are those of the levels told.
func TestAllotEqualsEnumeration(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 1))
	for _, c := range smallCases {
		columns, blocks := smallCase(draw, c.n, c.columns, c.boards)
		a, err := Allot(context.Background(), columns, blocks, c.levels, 1)
		if err != nil {
			t.Fatal(err)
		}
		uneven, mean, spread := farthest(columns, blocks, a.Level, c.levels)
		fewest, want := nearest(columns, blocks, c.levels)
		if uneven != fewest || !(math.Abs(max(mean, spread)-want) <= 1e-9) {
			t.Errorf("%+v: uneven by %d, gap %g; the least there is %d, %g", c, uneven, max(mean, spread), fewest, want)
		}
		lnSpread := math.Log(a.Spread)
		if c.n/c.levels < 2 {
			lnSpread = spread
		}
		if a.Uneven != uneven || !(math.Abs(a.Gap-mean) <= 1e-9) || !(math.Abs(lnSpread-spread) <= 1e-9) {
			t.Errorf("%+v: told %+v, worked out uneven by %d, mean %g, ln sd %g", c, a, uneven, mean, spread)
		}
	}
}

// The exchange, which more blanks are given out by, finds the same where it is put to it.
func TestExchangeEqualsEnumeration(t *testing.T) {
	draw := rand.New(rand.NewPCG(8, 1))
	for _, c := range smallCases {
		columns, blocks := smallCase(draw, c.n, c.columns, c.boards)
		w := &allotting{levels: c.levels, blocks: blocks}
		for _, x := range columns {
			mean, sd := stat.MeanStdDev(x, nil)
			z := make([]float64, len(x))
			for i := range x {
				z[i] = (x[i] - mean) / sd
			}
			w.z = append(w.z, z)
		}
		level := w.exchanged(context.Background(), draw)
		uneven, mean, spread := farthest(columns, blocks, level, c.levels)
		if fewest, want := nearest(columns, blocks, c.levels); uneven != fewest ||
			!(math.Abs(max(mean, spread)-want) <= 1e-9) {
			t.Errorf("%+v: uneven by %d, gap %g; the least there is %d, %g", c, uneven, max(mean, spread), fewest, want)
		}
	}
}

// Blanks that are alike, of one board, change places as often as not; others keep theirs.
func TestAlikeAreShuffled(t *testing.T) {
	draw := rand.New(rand.NewPCG(2, 1))
	w := &allotting{levels: 2, z: [][]float64{{0, 1, 0, 0}}, blocks: [][]int{{0, 0, 0, 1}}}
	changed := 0
	for range 1000 {
		level := []int{0, 0, 1, 1}
		w.shuffleAlike(draw, level)
		if level[1] != 0 || level[3] != 1 || level[0]+level[2] != 1 {
			t.Fatalf("levels %v", level)
		}
		changed += level[0]
	}
	if changed < 450 || changed > 550 { // three sds either side
		t.Errorf("changed places %d times of 1000", changed)
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
	if a.Gap > 0.01 || a.Spread > 1.01 || a.Uneven != 0 || !slices.Equal(size, []int{50, 50, 50, 50}) {
		t.Errorf("gap %g, spread %g, uneven by %d, sizes %v", a.Gap, a.Spread, a.Uneven, size)
	}
	if b, _ := Allot(context.Background(), columns, [][]int{blocks}, 4, 7); !slices.Equal(a.Level, b.Level) {
		t.Error("the same seed gives another allotment")
	}
}

// Blanks that are alike in every column and block get each other's levels in every order alike, any others keep theirs:
// chi-square of the 24 orders of four has 23 degrees of freedom and passes 49.728 with chance 0.001 (Abramowitz and
// Stegun, table 26.8), that of the four orders of two pairs 16.266 with 3.
func TestAlikeBlanksAreShuffledAlike(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 9))
	for _, c := range []struct {
		z      []float64
		blocks [][]int
		orders int
		most   float64
	}{
		{[]float64{5, 5, 5, 5}, nil, 24, 49.728}, {[]float64{5, 7, 5, 7}, nil, 4, 16.266},
		{[]float64{5, 5, 5, 5}, [][]int{{0, 0, 1, 1}}, 4, 16.266}, {[]float64{1, 2, 3, 4}, nil, 1, 0},
	} {
		const draws = 4800
		seen := map[[4]int]int{}
		for range draws {
			level := []int{0, 1, 2, 3}
			(&allotting{z: [][]float64{c.z}, blocks: c.blocks}).shuffleAlike(draw, level)
			seen[[4]int(level)]++
		}
		chi, want := 0.0, draws/float64(c.orders)
		for _, n := range seen {
			chi += (float64(n) - want) * (float64(n) - want) / want
		}
		if len(seen) != c.orders || !(chi <= c.most) {
			t.Errorf("%v in %v: %d orders, want %d, chi-square %g", c.z, c.blocks, len(seen), c.orders, chi)
		}
	}
}
