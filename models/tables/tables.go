// Package tables tests whether the rows and columns of a table of counts have to do with
// each other, given its totals: exactly wherever that can be counted out, else on random
// tables.
package tables

import (
	"context"
	"errors"
	"math"

	"breakbook/models/dist"
	"breakbook/models/parallel"
)

// Test is what a table says, all its totals held as they are.
type Test struct {
	Exact     float64 // the probability of all tables no likelier than this one
	Error     float64 // standard error of Exact where it comes of random tables, else 0
	Tables    int     // how many random tables; 0: counted out
	ChiSquare float64 // Pearson's, without a correction (Pearson 1900)
	DF        int
	P         float64 // of ChiSquare
	Least     float64 // the smallest expected count
}

// ErrOneWay says that the table has fewer than two rows or columns with a count.
var ErrOneWay = errors.New("a table needs two rows and two columns with counts in them")

// Options of a test.
type Options struct {
	Steps    int // of work, some ten nanoseconds each: past so many the exact answer is given up; 0: 10⁸
	Seed     uint64
	Progress func(done, total int)
}

// tolerance is how much likelier than this table one may be and still count as no likelier.
const tolerance = 1e-7

const mostSteps = 100_000_000

// Of tests a table of counts, rows of equal length. Rows and columns without a count have
// no part in it. Errors are ErrOneWay and ctx's own.
func Of(ctx context.Context, counts [][]int, o Options) (_ Test, err error) {
	defer parallel.Catch(&err)
	t := filled(ctx, counts)
	if len(t) < 2 || len(t[0]) < 2 {
		return Test{}, ErrOneWay
	}
	rows, columns, n := totals(ctx, t)
	out := Test{DF: (len(rows) - 1) * (len(columns) - 1), Least: math.Inf(1)}
	for i, row := range t {
		parallel.LookAt(ctx, i)
		for j, x := range row {
			e := float64(rows[i]) * float64(columns[j]) / float64(n)
			out.ChiSquare += (float64(x) - e) * (float64(x) - e) / e
			out.Least = math.Min(out.Least, e)
		}
	}
	out.P = dist.ChiSquareTail(out.ChiSquare, float64(out.DF))
	if len(rows) > len(columns) { // the fewer totals are the state
		rows, columns = columns, rows
	}
	steps := o.Steps
	if steps == 0 {
		steps = mostSteps
	}
	c := newCounter(ctx, rows, columns, steps)
	out.Exact, err = c.noLikelier(likelihood(t, c.lnFactorial) + tolerance)
	if errors.Is(err, errTooMany) {
		out.Tables = RandomTables
		out.Exact, err = sampled(ctx, t, o), nil
		out.Error = math.Sqrt(out.Exact * (1 - out.Exact) / RandomTables)
	}
	return out, err
}

// filled leaves out rows and columns without a count.
func filled(ctx context.Context, counts [][]int) [][]int {
	rows, columns, _ := totals(ctx, counts)
	out := make([][]int, 0, len(counts))
	cells := make([]int, 0, len(rows)*len(columns)) // of all rows, in one piece
	for i, row := range counts {
		parallel.LookAt(ctx, i)
		if rows[i] == 0 {
			continue
		}
		kept := cells[len(cells):len(cells):cap(cells)]
		for j, x := range row {
			if columns[j] > 0 {
				kept = append(kept, x)
			}
		}
		cells = cells[:len(cells)+len(kept)]
		out = append(out, kept)
	}
	return out
}

func totals(ctx context.Context, t [][]int) (rows, columns []int, n int) {
	rows = make([]int, len(t))
	for i, row := range t {
		parallel.LookAt(ctx, i)
		if columns == nil {
			columns = make([]int, len(row))
		}
		for j, x := range row {
			rows[i] += x
			columns[j] += x
			n += x
		}
	}
	return rows, columns, n
}

// likelihood is ln of the probability of a table, but for what its totals settle:
// −Σ ln(count!).
func likelihood(t [][]int, lnFactorial []float64) float64 {
	sum := 0.0
	for _, row := range t {
		for _, x := range row {
			sum -= lnFactorial[x]
		}
	}
	return sum
}

func lnFactorials(ctx context.Context, n int) []float64 {
	out := make([]float64, n+1)
	for i := 2; i <= n; i++ {
		parallel.LookAt(ctx, i)
		out[i], _ = math.Lgamma(float64(i) + 1)
	}
	return out
}
