package groups

import (
	"context"
	"math"
	"slices"

	"breakbook/models/dist"
	"breakbook/models/doubts"
	limit "breakbook/models/limits"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// blocking is the blocks that limits allow for, and those that they do not.
type blocking struct {
	ref    *phrase.BlockRef  // nil: none
	others []phrase.BlockRef // columns of blocks beside it, where nobody named one
	few    []phrase.BlockRef // those of too few values, which do not differ clearly
	apart  []string          // those of which no two specimens of a level share a value
}

// columns are those it needs of the specimens.
func (b blocking) columns() []string {
	if b.ref == nil {
		return nil
	}
	out := []string{b.ref.Column.Column}
	for _, w := range b.ref.Within {
		out = append(out, w.Column)
	}
	return out
}

// known are the columns of blocks that the command speaks of.
func (b blocking) known() []string {
	out := append(b.columns(), b.apart...)
	for _, other := range slices.Concat(b.others, b.few) {
		out = append(out, other.Column.Column)
	}
	return out
}

// codes are the blocks of the specimens; nil without.
func (b blocking) codes(ctx context.Context, s *session.Sample) []int {
	if b.ref == nil {
		return nil
	}
	return s.BlockCodes(ctx, *b.ref)
}

// oneBlocks is the one column of blocks that was asked for.
func oneBlocks(asked *phrase.Blocks) (*phrase.BlockRef, error) {
	if len(asked.List) > 1 {
		return nil, page.Refuse(page.CodeTwoBlocks, asked.List[1].At, "a limit allows for one column of blocks",
			"keep the one in which loads differ most: blocked by "+phrase.Spelled(asked.List[0].Column.Column))
	}
	return &asked.List[0], nil
}

// limitBlocks is what limits of levels allow for: the blocks asked for, else, of the columns of
// blocks, the one that has the largest part in the scatter within levels.
func limitBlocks(k *session.Call, of phrase.LimitsByLevels, o limit.Options) (blocking, error) {
	if of.Blocks != nil {
		ref, err := oneBlocks(of.Blocks)
		if err == nil && (ref.Column.Column == of.Y.Column.Column || ref.Column.Column == of.A.Column) {
			err = page.Refuse(page.CodeBlockAmongTerms, ref.At, ref.Column.Column+
				" cannot be a block as well", "block by another column")
		}
		return blocking{ref: ref}, err
	}
	s, r, groups, err := k.MeasuredByLevel(of.ByLevels)
	if err != nil {
		return blocking{}, err
	}
	if o.Method == limit.Ranked {
		o.Method = limit.Normal
	}
	residuals := make([]float64, s.Frame.Len())
	for _, g := range groups {
		mean := session.Means([][]float64{g.Values})[0]
		for i, row := range g.Rows {
			residuals[row] = g.Values[i] - mean
		}
	}
	df := float64(len(residuals) - len(groups))
	scatterOf := func(codes []int) (share, worth float64) {
		specimens := 0.0
		for _, g := range groups {
			l, err := limit.Of(k.Context, g.Values, among(codes, g.Rows), o)
			switch {
			case err != nil || l.Blocks == 0:
				continue
			case l.None == limit.OneBlock:
				worth--
			}
			n := float64(l.N)
			specimens += n
			if !math.IsNaN(l.Between) {
				share += n * l.Between
			}
		}
		if specimens == 0 {
			return math.NaN(), 0
		}
		return share / specimens, worth
	}
	return chooseBlocks(k, s, []string{r.Column.Name, of.A.Column}, residuals, df, scatterOf), nil
}

// fewestBlocks is the number of blocks under which nobody knows how much one differs from the next.
const fewestBlocks = 5

// chooseBlocks takes, of the columns of blocks whose values repeat, the one with the largest
// share of the scatter, and among equals that of the larger worth; a share of NaN is no choice.
// Where one has enough values, one of too few has to differ clearly, by the residuals and their degrees of freedom.
// Where columns are marked as blocks, only those are looked at.
func chooseBlocks(k *session.Call, s *session.Sample, except []string, residuals []float64, df float64,
	scatterOf func(codes []int) (share, worth float64)) blocking {
	var out blocking
	best, bestWorth := math.Inf(-1), math.Inf(-1)
	all := session.BlocksOf(k.Context, s, except)
	slices.SortStableFunc(all, func(a, b session.BlockCount) int { // those of enough values first
		return min(b.N, fewestBlocks) - min(a.N, fewestBlocks)
	})
	enough := false
	for _, b := range all {
		ref := b.Ref
		codes := s.BlockCodes(k.Context, ref)
		share, worth := scatterOf(codes)
		if math.IsNaN(share) {
			out.apart = append(out.apart, b.Column)
			continue
		}
		if enough = enough || b.N >= fewestBlocks; enough && b.N < fewestBlocks && !differ(residuals, codes, df) {
			out.few = append(out.few, ref)
			continue
		}
		if out.ref != nil && (share < best || share == best && worth <= bestWorth) {
			out.others = append(out.others, ref)
			continue
		}
		if out.ref != nil {
			out.others = append(out.others, *out.ref)
		}
		out.ref, best, bestWorth = &ref, share, worth
	}
	return out
}

// differ reports whether residuals lie further apart from block to block than within, by analysis of variance.
func differ(residuals []float64, codes []int, df float64) bool {
	blocks := make([][]float64, slices.Max(codes)+1)
	for i, c := range codes {
		blocks[c] = append(blocks[c], residuals[i])
	}
	between, total := 0.0, 0.0
	for i, mean := range session.Means(blocks) {
		between += float64(len(blocks[i])) * mean * mean
		for _, x := range blocks[i] {
			total += x * x
		}
	}
	d := float64(len(blocks) - 1)
	return df > d && dist.FTail(between/d/((total-between)/(df-d)), d, df-d) < doubts.Clear
}
