package plan

// Blocks is how a plan's specimens come from boards, batches or days. A factor is whole
// where each block is of one of its levels; of the other factors every block holds all
// levels, so that what one block differs from the next by cancels in their differences.
type Blocks struct {
	SD     float64 // from one block to the next; 0: blocks are alike, and are left out of the calculation
	HighSD float64 // SD's at its upper limit; read where Means.HighSD is a number
	Each   int     // specimens of each combination that meets in a block, a block
	Whole  []bool  // by factor
}

// wholes are the combinations that blocks are made of as a whole; 1 where every block
// holds every combination.
func (m Means) wholes() int {
	w := 1
	if m.Blocks == nil {
		return w
	}
	for i, k := range m.Levels {
		if m.Blocks.Whole[i] {
			w *= k
		}
	}
	return w
}

// Step is what numbers of specimens a combination rise by: levels made from whole blocks
// are made from blocks of one size.
func (m Means) Step() int {
	if m.Blocks != nil && m.wholes() > 1 {
		return m.Blocks.Each
	}
	return 1
}

// blocks is how many blocks n specimens a combination come from; the last one may hold
// fewer where every block holds every combination.
func (m Means) blocks(n int) int {
	if m.Blocks == nil {
		return 0
	}
	return m.wholes() * ((n + m.Blocks.Each - 1) / m.Blocks.Each)
}

func (m Means) blockSD() float64 {
	if m.Blocks == nil {
		return 0
	}
	return m.Blocks.SD
}

// highBlockSD is blockSD at its upper limit.
func (m Means) highBlockSD() float64 {
	if m.blockSD() == 0 {
		return 0
	}
	return m.Blocks.HighSD
}

// df are the degrees of freedom that factor i's tests stand on; within blocks, or without any, the Others are taken
// off. With W combinations made of whole blocks, B blocks in all and C combinations: B − W between blocks for a whole
// factor, N − B − C + W within blocks for another. W = 1 is the randomised block design, W = C a level of whole blocks
// (subsamples within experimental units), between them lies the split plot (formulas as in Cochran & Cox, Experimental
// Designs, from memory). Blocks that are alike cost nothing.
func (m Means) df(i, n int) float64 {
	c := m.cells()
	if m.blockSD() == 0 {
		return float64(c*(n-1) - m.Others)
	}
	b, w := m.blocks(n), m.wholes()
	if m.Blocks.Whole[i] {
		return float64(b - w)
	}
	return float64(n*c - b - c + w - m.Others)
}

// errorDF is the fewest degrees of freedom of any factor.
func (m Means) errorDF(n int) float64 {
	least := m.df(0, n)
	for i := range m.Levels {
		least = min(least, m.df(i, n))
	}
	return least
}

// variances are those of one level mean of each factor, as differences between levels see
// it: sd²/n', n' being its specimens, and for a whole factor blockSD²/b more, b being its blocks.
func (m Means) variances(n int, sd, blockSD float64) []float64 {
	out := make([]float64, len(m.Levels))
	for i, k := range m.Levels {
		out[i] = sd * sd / float64(n*m.cells()/k)
		if m.Blocks != nil && m.Blocks.SD > 0 && m.Blocks.Whole[i] {
			out[i] += blockSD * blockSD / (float64(m.blocks(n)) / float64(k))
		}
	}
	return out
}
