package kernel

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// madeIn reports whether a column's name says that specimens were made in batches:
// board, batch or day, on its own or as a word of it (test_day).
func madeIn(name string) bool {
	return slices.ContainsFunc(strings.Split(name, "_"), func(word string) bool {
		return word == "board" || word == "batch" || word == "day"
	})
}

// blockCautions warn when specimens come from boards, batches or days that the analysis
// does not know of: they are the real units.
func (k *call) blockCautions(s *sample, used []string) []page.Sentence {
	var blocks []say.Block
	var names []string
	planned := k.c.Entry.Kind == "plan" // counts the blocks that are marked
	for _, c := range s.frame.Columns() {
		if slices.Contains(used, c.Name) || !isBlock(c) || planned && c.Role == frames.Block {
			continue
		}
		if n := s.distinct(k.ctx, c.Name); n > 1 && n < s.frame.Len() {
			blocks = append(blocks, say.Block{Column: c.Name, N: n})
			names = append(names, c.Name)
		}
	}
	if len(blocks) == 0 {
		return nil
	}
	if planned {
		return []page.Sentence{append(say.BlocksUnplanned(s.frame.Len(), blocks), say.WithBlocks(k.markedLine(names))...)}
	}
	told := say.Blocks(s.frame.Len(), blocks)
	if k.c.Entry.Kind == "suggest" {
		told = say.BlocksUnplanned(s.frame.Len(), blocks)
	}
	if line := k.offer(names); line != "" {
		told = append(told, say.WithBlocks(line)...)
	}
	return []page.Sentence{told}
}

// cautions adds the cautions that are the same for every analysis.
func (k *call) cautions() {
	a := k.analysis
	if a == nil || k.back != nil {
		return
	}
	k.e.Cautions = append(k.e.Cautions, k.blockCautions(a.sample, a.columns)...)
	k.e.Cautions = append(k.e.Cautions, k.modeCautions()...)
	k.e.Cautions = append(k.e.Cautions, k.tradeCautions()...)
	k.e.Cautions = append(k.e.Cautions, k.asideCautions()...)
}
