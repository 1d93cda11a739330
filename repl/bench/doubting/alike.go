package doubting

import (
	"breakbook/models/lists"
	"breakbook/models/tables"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// alikeInBlocks is what is left where all specimens of each board broke alike, so that no scatter is left
// within boards to judge by: where each board also has one level of the factor, boards were compared, and
// their number decides, by the exact test of their table of counts (Fisher 1934, Statistical Methods for
// Research Workers, 5th edition, section 21.02). A difference of more specimens that it does not bear out
// is in doubt.
func (q *inquiry) alikeInBlocks(block session.BlockCount, factor string) error {
	cmd, ok := q.k.Command.Do.(*phrase.Odds)
	if !ok {
		return nil
	}
	of, one := cmd.Subject.(phrase.OneMode)
	codes := q.codesOf(block.Column)
	if !one || codes == nil {
		return nil
	}
	ended, err := session.Where(q.k.Context, q.k.Analysis.Sample.Frame, of.Mode)
	if err != nil {
		return err
	}
	so, ok := ofBlocks(codes, ended, block.N)
	if !ok {
		return nil
	}
	levels, ok := ofBlocks(codes, q.codesOf(factor), block.N)
	c, _ := q.fit.Sample.Frame.Column(factor)
	if !ok || len(c.Levels) == 0 || len(c.Levels) > mostSplit {
		return nil
	}
	counts := lists.Made(len(c.Levels), func(i int) []int { return make([]int, 2) })
	for b, level := range levels {
		broke := 0
		if so[b] {
			broke = 1
		}
		counts[level][broke]++
	}
	t, err := tables.Of(q.k.Context, counts, tables.Options{})
	if err != nil {
		return err
	}
	q.known = true
	keys := besides(q.differing(factor), q.heldIn("one-block"))
	if len(keys) > 0 && t.Exact >= 1-q.k.Confidence() {
		q.addDoubt(countedByBlocks(block, factor, len(ended), t.Exact, "all specimens of one "+block.Column+
			" broke alike", keys))
	}
	return nil
}

// ofBlocks is what each of n blocks has, where all its specimens have the same.
func ofBlocks[T comparable](block []int, of []T, n int) ([]T, bool) {
	out, met := make([]T, n), make([]bool, n)
	if len(of) != len(block) {
		return nil, false
	}
	for i, b := range block {
		if met[b] && out[b] != of[i] {
			return nil, false
		}
		out[b], met[b] = of[i], true
	}
	return out, true
}
