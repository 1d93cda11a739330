// Package together measures how far two factors of a series varied together: what
// varied together cannot be distinguished.
package together

import (
	"context"
	"math"

	"gonum.org/v1/gonum/stat"

	"breakbook/models/design"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Strength is between 0 (unrelated) and 1 (one can be read off the other), for two
// variables of the same specimens: the size of the correlation of two numbers, the
// canonical correlation of a number with the levels of a category (the square root of
// the variation between levels over the total; Hotelling 1936), Cramér's V of two
// categories (Cramér 1946, √(χ²/(n·(min(r, c) − 1)))). NaN where one of them does not vary.
// The error is ctx's own.
func Strength(ctx context.Context, a, b design.Variable) (float64, error) {
	all, err := Strengths(ctx, []design.Variable{a, b})
	if err != nil {
		return math.NaN(), err
	}
	return all[1][0], nil
}

// Strengths are those of every pair: of variables i and j, j < i, at [i][j]. The error is
// ctx's own.
func Strengths(ctx context.Context, v []design.Variable) (_ [][]float64, err error) {
	defer parallel.Catch(&err)
	all := make([][]float64, len(v))
	mean, length := make([]float64, len(v)), make([]float64, len(v)) // length about the mean
	for i, x := range v {
		if !x.IsCategory() {
			mean[i] = stat.Mean(x.Numbers, nil)
			length[i] = math.Sqrt(about(ctx, x.Numbers, x.Numbers, mean[i], mean[i]))
		}
	}
	strength := func(ctx context.Context, i, j int) float64 {
		switch a, b := v[i], v[j]; {
		case !a.IsCategory() && !b.IsCategory():
			return math.Abs(about(ctx, a.Numbers, b.Numbers, mean[i], mean[j]) / length[i] / length[j])
		case a.IsCategory() && b.IsCategory():
			return cramer(ctx, a, b)
		case a.IsCategory():
			return between(ctx, b.Numbers, a)
		default:
			return between(ctx, a.Numbers, b)
		}
	}
	err = parallel.Each(ctx, len(v), func(ctx context.Context, i int) error {
		all[i] = make([]float64, i)
		for j := range i {
			parallel.Look(ctx)
			all[i][j] = strength(ctx, i, j)
		}
		return nil
	})
	return all, err
}

// about is the sum of products about two means.
func about(ctx context.Context, x, y []float64, meanX, meanY float64) (sum float64) {
	y = y[:len(x)]
	for i, v := range x {
		parallel.LookAt(ctx, i)
		sum += (v - meanX) * (y[i] - meanY)
	}
	return sum
}

// between is the canonical correlation of numbers with the levels of a category.
func between(ctx context.Context, x []float64, c design.Variable) float64 {
	n := make([]float64, len(c.Levels))
	sum := make([]float64, len(c.Levels))
	for i, code := range c.Codes {
		parallel.LookAt(ctx, i)
		n[code]++
		sum[code] += x[i]
	}
	mean := stat.Mean(x, nil)
	levels, total := 0.0, 0.0
	used := 0
	for l := range n {
		if n[l] > 0 {
			used++
			d := sum[l]/n[l] - mean
			levels += n[l] * d * d
		}
	}
	for _, v := range x {
		total += (v - mean) * (v - mean)
	}
	if used < 2 || total == 0 {
		return math.NaN()
	}
	return math.Sqrt(min(levels/total, 1))
}

// cramer goes by the combinations that occur, of which there are no more than specimens, however
// many levels there are: where o is how many are in one of them and e how many would be, χ² is the
// sum of o²/e, less n.
func cramer(ctx context.Context, a, b design.Variable) float64 {
	rows, columns := make([]float64, len(a.Levels)), make([]float64, len(b.Levels))
	keys := make([]int, len(a.Codes))
	for i := range a.Codes {
		parallel.LookAt(ctx, i)
		rows[a.Codes[i]]++
		columns[b.Codes[i]]++
		keys[i] = a.Codes[i]*len(b.Levels) + b.Codes[i]
	}
	parallel.Sort(ctx, keys)
	n := float64(len(keys))
	chi := 0.0
	for from, to := 0, 0; from < len(keys); from = to {
		parallel.Look(ctx)
		for to < len(keys) && keys[to] == keys[from] {
			to++
		}
		count := float64(to - from)
		chi += count * (count*n/(rows[keys[from]/len(b.Levels)]*columns[keys[from]%len(b.Levels)]) - 1)
	}
	side := min(positive(rows), positive(columns))
	if side < 2 {
		return math.NaN()
	}
	return math.Sqrt(max(0, min(chi/(n*float64(side-1)), 1)))
}

func positive(v []float64) int {
	return lists.Count(v, func(x float64) bool { return x > 0 })
}
