package bench

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// blocksCaution warns that specimens share boards, batches or days.
func blocksCaution(specimens int, blocks []session.BlockCount) page.Sentence {
	s, either := sharing(specimens, blocks)
	return append(s, page.Word(", so they count for less than their number: the intervals here are too narrow if "+
		either+" matters."))
}

// sharing tells that specimens share boards, batches or days and so are alike, and names
// these.
func sharing(specimens int, blocks []session.BlockCount) (said page.Sentence, either string) {
	s := page.Say("The ", specimens, " specimens share ")
	var names []string
	for i, b := range blocks {
		if i > 0 {
			s = append(s, page.Word(" and "))
		}
		s = append(s, page.Say(b.N, " values of "+b.Column)...)
		names = append(names, b.Column)
	}
	either = strings.Join(names, " or ")
	return append(s, page.Word(". Specimens of one "+either+" are alike")), either
}

// blocksUnplanned warns that a plan, or a suggestion, knows nothing of the boards, batches or days that
// its specimens share.
func blocksUnplanned(specimens int, blocks []session.BlockCount) page.Sentence {
	s, _ := sharing(specimens, blocks)
	return append(s, page.Word(", and this counts every specimen as if it stood for itself."))
}

// withBlocks is the line to accept after a caution about blocks.
func withBlocks(line string) page.Sentence {
	return page.Say(" To allow for it, type: " + line)
}

// blockCautions warn when specimens come from boards, batches or days that the analysis
// does not know of: they are the real units.
func blockCautions(k *session.Call, s *session.Sample, used []string) []page.Sentence {
	var blocks []session.BlockCount
	var names []string
	planned := k.Command.Entry.Kind == "plan" // counts the blocks that are marked
	for _, c := range s.Frame.Columns() {
		if slices.Contains(used, c.Name) || !session.IsBlock(c) || planned && c.Role == frames.Block {
			continue
		}
		if n := s.Distinct(k.Context, c.Name); n > 1 && n < s.Frame.Len() {
			blocks = append(blocks, session.BlockCount{Column: c.Name, N: n})
			names = append(names, c.Name)
		}
	}
	if len(blocks) == 0 {
		return nil
	}
	if planned {
		return []page.Sentence{append(blocksUnplanned(s.Frame.Len(), blocks), withBlocks(markedLine(k, names))...)}
	}
	caution := blocksCaution(s.Frame.Len(), blocks)
	if k.Command.Entry.Kind == "suggest" {
		caution = blocksUnplanned(s.Frame.Len(), blocks)
	}
	if line := offer(k, names); line != "" {
		caution = append(caution, withBlocks(line)...)
	}
	return []page.Sentence{caution}
}

// cautions adds the cautions that are the same for every analysis; that boards are ignored is none
// where they were allowed for.
func cautions(k *session.Call, blocksKnown bool) {
	a := k.Analysis
	if a == nil || k.Back != nil {
		return
	}
	if !blocksKnown {
		k.Entry.Cautions = append(k.Entry.Cautions, blockCautions(k, a.Sample, a.Columns)...)
	}
	k.Entry.Cautions = append(k.Entry.Cautions, modeCautions(k)...)
	k.Entry.Cautions = append(k.Entry.Cautions, tradeCautions(k)...)
	k.Entry.Cautions = append(k.Entry.Cautions, slopeCautions(k)...)
	k.Entry.Cautions = append(k.Entry.Cautions, correctionCautions(k)...)
	k.Entry.Cautions = append(k.Entry.Cautions, asideCautions(k)...)
}
