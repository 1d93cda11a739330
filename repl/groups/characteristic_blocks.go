package groups

import (
	"context"
	"math"

	limit "breakbook/models/limits"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// blocking is the blocks that limits allow for, and those that they do not.
type blocking struct {
	ref    *phrase.BlockRef  // nil: none
	others []phrase.BlockRef // columns of blocks beside it, where nobody named one
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
	for _, other := range b.others {
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
	return chooseBlocks(k, s, []string{r.Column.Name, of.A.Column}, func(codes []int) (share, worth float64) {
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
	}), nil
}

// chooseBlocks takes, of the columns of blocks whose values repeat, the one with the largest
// share of the scatter, and among equals that of the larger worth; a share of NaN is no choice.
// Where columns are marked as blocks, only those are looked at.
func chooseBlocks(k *session.Call, s *session.Sample, except []string,
	scatterOf func(codes []int) (share, worth float64)) blocking {
	var out blocking
	best, bestWorth := math.Inf(-1), math.Inf(-1)
	for _, b := range session.BlocksOf(k.Context, s, except) {
		ref := b.Ref
		share, worth := scatterOf(s.BlockCodes(k.Context, ref))
		if math.IsNaN(share) {
			out.apart = append(out.apart, b.Column)
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
