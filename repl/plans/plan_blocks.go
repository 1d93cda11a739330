package plans

import (
	"context"
	"errors"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/mixed"
	"breakbook/models/plan"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// blockLayout is how the specimens of a series come from the boards, batches or days that are
// marked as its blocks, and what those add to the spread. The plan's blocks are laid out likewise.
type blockLayout struct {
	column string // that the plan counts
	whole  []bool // by factor: a block is of one of its levels
	size   int    // specimens a block, as a rule
	number int    // of blocks
	each   int    // specimens of each combination that meets in a block

	known          bool    // whether the scatter between blocks is known
	residualSD     float64 // sd of specimens within blocks
	between        float64 // sd that blocks add to a mean over whole ones; 0: none
	all            float64 // sd of a specimen of a block of its own
	highResidualSD float64 // their upper limits; NaN where unknown
	highBlock      float64
	highAll        float64
}

// blocked reads the blocks of the pilot series and what they add to its spread; nil where no column
// but the factors is marked.
func blocked(k *session.Call, g *pilot) (*blockLayout, error) {
	b, marked, err := g.arranged(k.Context)
	if b == nil || err != nil {
		return nil, err
	}
	nan := math.NaN()
	b.residualSD, b.all, b.highResidualSD, b.highBlock, b.highAll = g.sd, g.sd, nan, nan, nan
	if b.number == g.sample.Frame.Len() { // blocks are specimens
		b.known = true
		if g.df >= 1 {
			b.highResidualSD = plan.HighSpread(g.sd, g.df, highSpread)
			b.highAll = b.highResidualSD
		}
		return b, nil
	}
	return b, scatter(k, g, b, marked)
}

// blockMarkings are the columns marked as blocks, with the block of every specimen, and every
// specimen's combination of levels.
type blockMarkings struct {
	columns []string
	labels  map[string][]int
	cells   []int
}

// arranged reads how the blocks of the pilot series are laid out; nil without any.
func (g *pilot) arranged(ctx context.Context) (*blockLayout, *blockMarkings, error) {
	m := &blockMarkings{labels: map[string][]int{}, cells: make([]int, g.sample.Frame.Len())}
	all := session.MarkedBlocks(g.sample.Frame)
	if g.fit != nil {
		for _, b := range g.fit.Method.Blocks {
			if len(b.Within) == 0 && !slices.Contains(all, b.Column.Column) {
				all = append(all, b.Column.Column)
			}
		}
	}
	for _, c := range all {
		if !slices.Contains(g.names(), c) {
			m.columns = append(m.columns, c)
		}
	}
	if len(m.columns) == 0 {
		return nil, nil, nil
	}
	codes := make([][]int, len(g.factors))
	for i, f := range g.factors {
		own, err := g.sample.Frame.Codes(ctx, f.Column)
		if err != nil {
			return nil, nil, session.WithPlace(err, f.At)
		}
		codes[i] = own
		levels := slices.Max(own) + 1
		for row, c := range own {
			m.cells[row] = m.cells[row]*levels + c
		}
	}
	return layoutOf(ctx, g, m, codes), m, nil
}

// layoutOf finds the column that the plan counts, and whether the factors vary within it: a column
// with a factor that does not, the one with fewest blocks; else the one with most.
func layoutOf(ctx context.Context, g *pilot, m *blockMarkings, codes [][]int) *blockLayout {
	var best *blockLayout
	for _, c := range m.columns {
		own, _ := g.sample.Blocks(ctx, []string{c})
		m.labels[c] = own
		b := &blockLayout{column: c, number: slices.Max(own) + 1}
		size := make([]int, b.number)
		for _, l := range own {
			size[l]++
		}
		slices.Sort(size)
		b.size = size[len(size)/2]
		together := 1
		for i, levels := range codes {
			b.whole = append(b.whole, !variesWithin(levels, own))
			if !b.whole[i] {
				together *= g.levels[i]
			}
		}
		b.each = max(1, int(math.Round(float64(b.size)/float64(together))))
		if best == nil || b.anyWhole() && !best.anyWhole() ||
			b.anyWhole() == best.anyWhole() && (b.number < best.number) == b.anyWhole() {
			best = b
		}
	}
	return best
}

func (b *blockLayout) anyWhole() bool { return slices.Contains(b.whole, true) }

// variesWithin reports whether most blocks of several specimens have several levels.
func variesWithin(levels, blocks []int) bool {
	n := slices.Max(blocks) + 1
	first, count, several := make([]int, n), make([]int, n), make([]bool, n)
	for i, b := range blocks {
		if count[b] == 0 {
			first[b] = levels[i]
		}
		count[b]++
		several[b] = several[b] || levels[i] != first[b]
	}
	more, varied := 0, 0
	for b := range n {
		if count[b] > 1 {
			more++
		}
		if several[b] {
			varied++
		}
	}
	return 2*varied > more
}

// scatter parts the spread by restricted likelihood, each combination of levels with its
// own mean. Other columns marked count as far as they do: a mean over a whole block holds
// so many of their values, and where every block holds every level they drop out as well.
func scatter(k *session.Call, g *pilot, b *blockLayout, marked *blockMarkings) error {
	var blocks []mixed.Block
	cells, labels := marked.cells, marked.labels
	columns := slices.DeleteFunc(slices.Clone(marked.columns),
		func(c string) bool { return slices.Max(labels[c])+1 == len(cells) })
	for _, c := range columns {
		blocks = append(blocks, mixed.Block{Codes: labels[c]})
	}
	var m design.Model
	kinds := slices.Compact(slices.Sorted(slices.Values(cells)))
	parameters := len(kinds)
	if g.fit != nil {
		m, parameters = g.fit.Model(), g.terms
	} else if len(kinds) > 1 {
		v := design.Variable{Name: "combination", Codes: make([]int, len(cells)), Levels: make([]string, len(kinds))}
		for i, c := range cells {
			v.Codes[i] = slices.Index(kinds, c)
		}
		m = design.Model{Variables: []design.Variable{v},
			Terms: []design.Term{{Factors: []design.Factor{{Variable: 0}}}}}
	}
	f, err := mixed.Solve(k.Context, g.response.Values, m, blocks, mixed.Restricted)
	var cannot *mixed.Error
	if errors.As(err, &cannot) {
		return nil
	}
	if err != nil {
		return err
	}
	b.known, b.residualSD = true, f.Sigma
	squares, mean := f.Sigma*f.Sigma, 0.0
	blocksDF := 0
	for i, c := range columns {
		v := f.Components[i].SD * f.Components[i].SD
		squares += v
		if v > 0 {
			blocksDF += f.Components[i].Levels - 1
		}
		mean += v / perBlock(labels[b.column], labels[c])
	}
	b.all, b.between = math.Sqrt(squares), math.Sqrt(mean)
	b.limits(g, parameters, blocksDF)
	return nil
}

// perBlock is how many values of another column a block has in the mean.
func perBlock(blocks, other []int) float64 {
	met := map[[2]int]bool{}
	for i, b := range blocks {
		met[[2]int{b, other[i]}] = true
	}
	return float64(len(met)) / float64(slices.Max(blocks)+1)
}

// limits are the upper limits of the sds: within blocks with the degrees of freedom that
// cells and blocks leave, of a block's mean with those between blocks, of a specimen of a block of
// its own with Satterthwaite's (1946) of the two.
func (b *blockLayout) limits(g *pilot, cells, blocksDF int) {
	size := float64(b.size)
	dfResidual, dfBlock := float64(g.sample.Frame.Len()-cells-blocksDF), float64(b.number-b.wholes(g))
	if dfResidual < 1 || dfBlock < 1 {
		return
	}
	b.highResidualSD = plan.HighSpread(b.residualSD, dfResidual, highSpread)
	if b.between == 0 {
		b.highBlock, b.highAll = 0, b.highResidualSD
		return
	}
	unit, rest := b.between*b.between+b.residualSD*b.residualSD/size, b.residualSD*b.residualSD*(1-1/size)
	high := plan.HighSpread(math.Sqrt(unit), dfBlock, highSpread)
	b.highBlock = math.Sqrt(math.Max(0, high*high-b.highResidualSD*b.highResidualSD/size))
	df := (unit + rest) * (unit + rest) / (unit*unit/dfBlock + rest*rest/dfResidual)
	b.highAll = plan.HighSpread(b.all, df, highSpread)
}

// rescale scales the sds to a spread of single specimens that the command gives, and so
// leaves nothing that is an estimate.
func (b *blockLayout) rescale(spread float64) {
	by := spread / b.all
	b.residualSD, b.between, b.all = b.residualSD*by, b.between*by, spread
	b.highResidualSD, b.highBlock, b.highAll = math.NaN(), math.NaN(), math.NaN()
}

// model is the blocks as a plan for means takes them; nil without any.
func (b *blockLayout) model() *plan.Blocks {
	if b == nil {
		return nil
	}
	return &plan.Blocks{SD: b.between, HighSD: b.highBlock, Each: b.each, Whole: b.whole}
}

// layout tells how the plan's specimens come from blocks.
func (b *blockLayout) layout(g *pilot) *say.Layout {
	if b == nil {
		return nil
	}
	l := &say.Layout{Block: b.column, Each: b.each, Known: b.known, SD: b.between,
		Singles: b.number == g.sample.Frame.Len()}
	for i, name := range g.names() {
		if b.whole[i] {
			l.Whole = append(l.Whole, name)
		} else {
			l.Within = append(l.Within, name)
		}
	}
	return l
}

// wholes are the combinations that blocks are made of as a whole.
func (b *blockLayout) wholes(g *pilot) int {
	w := 1
	for i, k := range g.levels {
		if b.whole[i] {
			w *= k
		}
	}
	return w
}
