package linear

import (
	"context"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/parallel"
)

const (
	// fourthWidth is the most columns whose fourth moments are held: 22 MB of them.
	fourthWidth = 48
	// steadyBelow is the condition number up to which fourth moments of the columns are good
	// to 8 digits as those of coordinates: their relative error is about 1e-16·κ⁴.
	steadyBelow = 100
	// fourthBlocks is how many blocks of rows have moments of their own, whatever the cores.
	fourthBlocks = 8
)

// fourth is Σ qqqq/(1 − h) over the rows whose leverage is not high, as a symmetric matrix for
// each pair of coordinates: all that is needed of these rows, and far less of it than rows.
type fourth struct {
	width int
	of    [][]float64 // of[j·width + k] is by rows; of j, k and of k, j are one
}

// takeFourth holds the fourth moments where they are less work than doing without them in one
// test of all columns and in a combination for each.
func (b *pairing) takeFourth(ctx context.Context, kappa float64) {
	rows := b.low()
	n, p := float64(len(rows)), float64(b.width)
	filled := float64(len(b.value)) / float64(max(len(b.many), 1))
	columns := b.root != nil && kappa < steadyBelow
	entries, turning := p, 0.0
	if columns {
		entries, turning = filled, 2*p*p*p*p*p
	}
	without := min(b.pairsWork(n, filled, p), b.momentsWork(n, filled, p)) + p*b.momentsWork(n, filled, 1)
	if b.width > fourthWidth || n*entries*(entries+1)*(entries+2)*(entries+3)/24+turning > without {
		return
	}
	b.fourth = b.fourthMoments(ctx, rows, columns)
}

// low are the rows whose leverage is not high.
func (b *pairing) low() []int {
	var rows []int
	for g, share := range b.residualShare {
		if 1-share <= highLeverage {
			rows = append(rows, g)
		}
	}
	return rows
}

// fourthMoments gathers the fourth moments of rows, as those of columns first or of coordinates
// at once.
func (b *pairing) fourthMoments(ctx context.Context, rows []int, columns bool) *fourth {
	blocks := make([]*packed, fourthBlocks)
	b.each(ctx, fourthBlocks, worthSharing, func(ctx context.Context, i int) {
		own := newPacked(b.width)
		blocks[i] = own
		index, value := make([]int32, b.width), make([]float64, b.width)
		for j := range index {
			index[j] = int32(j)
		}
		for k := i; k < len(rows); k += fourthBlocks {
			parallel.LookAt(ctx, k/fourthBlocks)
			g := rows[k]
			from, to := b.start[g], b.start[g+1]
			switch {
			case columns || b.root == nil:
				own.add(b.many[g]/b.residualShare[g], b.index[from:to], b.value[from:to])
			default:
				clear(value)
				for c := from; c < to; c++ {
					for l := int(b.index[c]); l < b.width; l++ {
						value[l] += b.value[c] * b.root[b.index[c]][l]
					}
				}
				own.add(b.many[g]/b.residualShare[g], index, value)
			}
		}
	})
	for _, other := range blocks[1:] {
		for i, v := range other.cells {
			blocks[0].cells[i] += v
		}
	}
	out := blocks[0].spread()
	if columns {
		out.turn(ctx, b.root)
	}
	return out
}

// packed is a symmetric table of four indices, one cell for each four in order.
type packed struct {
	width int
	cells []float64
	at    [][][][]float64 // at[i][j − i][k − j] are the cells of i, j, k and l from k on
}

func newPacked(p int) *packed {
	out := &packed{width: p, cells: make([]float64, p*(p+1)*(p+2)*(p+3)/24), at: make([][][][]float64, p)}
	left := out.cells
	for i := range p {
		out.at[i] = make([][][]float64, p-i)
		for j := i; j < p; j++ {
			out.at[i][j-i] = make([][]float64, p-j)
			for k := j; k < p; k++ {
				out.at[i][j-i][k-j], left = left[:p-k], left[p-k:]
			}
		}
	}
	return out
}

// add adds w times the four-fold product of a row with itself; its indices rise.
func (t *packed) add(w float64, index []int32, value []float64) {
	for i, a := range index {
		one := w * value[i]
		for j := i; j < len(index); j++ {
			b := index[j]
			two := one * value[j]
			line := t.at[a][b-a]
			for k := j; k < len(index); k++ {
				c := index[k]
				three, cells := two*value[k], line[c-b]
				if len(index) == t.width {
					floats.AddScaled(cells, three, value[k:])
					continue
				}
				for l := k; l < len(index); l++ {
					cells[index[l]-c] += three * value[l]
				}
			}
		}
	}
}

// spread lays every order of the indices out.
func (t *packed) spread() *fourth {
	p := t.width
	out := &fourth{width: p, of: make([][]float64, p*p)}
	for a := range p {
		for b := a; b < p; b++ {
			m := make([]float64, p*p)
			out.of[a*p+b], out.of[b*p+a] = m, m
			for c := range p {
				for d := c; d < p; d++ {
					i, j, k, l := a, b, c, d // two rising pairs, merged
					if i > k {
						i, k = k, i
					}
					if j > l {
						j, l = l, j
					}
					if j > k {
						j, k = k, j
					}
					v := t.at[i][j-i][k-j][l-k]
					m[c*p+d], m[d*p+c] = v, v
				}
			}
		}
	}
	return out
}

// turn takes moments of columns to those of coordinates, a row times root.
func (f *fourth) turn(ctx context.Context, root [][]float64) {
	p := f.width
	half := make([]float64, p*p)
	within := func(m []float64) {
		parallel.Look(ctx)
		clear(half) // m·root
		for j := range p {
			for k, line := range root {
				v := m[j*p+k]
				for l := k; l < p; l++ {
					half[j*p+l] += v * line[l]
				}
			}
		}
		clear(m) // root'·half
		for k, line := range root {
			for j := k; j < p; j++ {
				v := line[j]
				for l := range p {
					m[j*p+l] += v * half[k*p+l]
				}
			}
		}
	}
	for a := range p {
		for b := a; b < p; b++ {
			within(f.of[a*p+b])
		}
	}
	across := make([]float64, p*p)
	for c := range p {
		for d := c; d < p; d++ {
			for i, m := range f.of {
				across[i] = m[c*p+d]
			}
			within(across)
			for i, m := range f.of {
				m[c*p+d], m[d*p+c] = across[i], across[i]
			}
		}
	}
}

// squares is the sum over all pairs of these rows of (h_ij·p_ij)² over what is left of both,
// for combinations given in coordinates.
func (f *fourth) squares(ctx context.Context, b *pairing, of []combination) float64 {
	p := f.width
	parts := make([]float64, len(of))
	b.each(ctx, len(of), len(of)*p*p*p*p, func(ctx context.Context, s int) {
		once := make([][]float64, p)
		for k := range once {
			parallel.Look(ctx)
			once[k] = make([]float64, p*p)
			for j, v := range of[s].along {
				if v == 0 {
					continue
				}
				for i, m := range f.of[j*p+k] {
					once[k][i] += v * m
				}
			}
		}
		twice := make([]float64, p*p)
		for t := range s + 1 {
			parallel.Look(ctx)
			clear(twice)
			for k, v := range of[t].along {
				if v == 0 {
					continue
				}
				for i, m := range once[k] {
					twice[i] += v * m
				}
			}
			length := 0.0
			for _, v := range twice {
				length += v * v
			}
			if t < s {
				length *= 2
			}
			parts[s] += length
		}
	})
	sum := 0.0
	for _, part := range parts {
		sum += part
	}
	return sum
}
