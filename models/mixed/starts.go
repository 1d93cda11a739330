package mixed

import (
	"context"

	"breakbook/models/parallel"
)

// grids are the ratios the search looks at first for every block column, by how many
// columns there are; with more, all columns have one ratio.
var grids = [...][]float64{
	1: {0, 0.001, 0.01, 0.05, 0.2, 1, 5, 25, 200, 2000},
	2: {0, 0.01, 0.05, 0.2, 1, 5, 25, 200},
	3: {0, 0.05, 0.5, 5, 50},
	4: {0, 0.1, 2, 40},
}

// starts are the points of the grid that no neighbour along a column betters; there is
// always one, for with no blocks there is residual variance.
func (p *parts) starts(ctx context.Context) ([][]float64, error) {
	k := len(p.groups)
	grid, free := grids[1], 1
	if k < len(grids) {
		grid, free = grids[k], k
	}
	total := 1
	for range free {
		total *= len(grid)
	}
	report := parallel.ProgressOf(ctx)
	deviance, beyond := make([]float64, total), make([]bool, total)
	for i := range total {
		report(i, total)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		x, err := p.at(gridPoint(grid, k, free, i), false)
		if beyond[i] = err != nil; !beyond[i] { // so much that no residual variance is left
			deviance[i] = x.deviance
		}
	}
	var out [][]float64
	for i := range total {
		best := !beyond[i]
		for stride, at := 1, i; stride < total; stride, at = stride*len(grid), at/len(grid) {
			place := at % len(grid)
			best = best && (place == 0 || beyond[i-stride] || deviance[i] <= deviance[i-stride]) &&
				(place == len(grid)-1 || beyond[i+stride] || deviance[i] < deviance[i+stride])
		}
		if best {
			out = append(out, gridPoint(grid, k, free, i))
		}
	}
	return out, nil
}

// gridPoint is point i of the grid: its digits are places in the grid, column by column.
func gridPoint(grid []float64, k, free, i int) []float64 {
	out := make([]float64, k)
	for c := range out {
		if c > 0 && c < free {
			i /= len(grid)
		}
		out[c] = grid[i%len(grid)]
	}
	return out
}
