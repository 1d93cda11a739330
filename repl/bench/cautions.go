package bench

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// blockCautions warn when specimens come from boards, batches or days that the analysis
// does not know of: they are the real units.
func blockCautions(k *session.Call, s *session.Sample, used []string) []page.Sentence {
	planned := k.Command.Entry.Kind == "plan"
	if planned { // it counts the blocks that are marked
		used = slices.Concat(used, session.MarkedBlocks(s.Frame))
	}
	blocks := s.BlockCounts(k.Context, used)
	if len(blocks) == 0 {
		return nil
	}
	caution := page.Say("The ", s.Frame.Len(), " specimens share ")
	var names []string
	for i, b := range blocks {
		if i > 0 {
			caution = append(caution, page.Word(" and "))
		}
		caution = append(caution, page.Say(b.N, " values of "+b.Ref.Name())...)
		names = append(names, b.Column)
	}
	either, line := strings.Join(names, " or "), ""
	caution = append(caution, page.Word(". Specimens of one "+either+" are alike"))
	if planned || k.Command.Entry.Kind == "suggest" {
		caution = append(caution, page.Word(", and this counts every specimen as if it stood for itself."))
	} else {
		caution = append(caution, page.Word(", so they count for less than their number: the intervals here are too "+
			"narrow if "+either+" matters."))
	}
	if planned {
		line = markedLine(k, names)
	} else {
		line = offer(k, names)
	}
	if line != "" {
		given := ""
		if unevenly(k) {
			given = ", and not for uneven spread"
		}
		caution = append(caution, page.Word(" To allow for it"+given+", type: "+line))
	}
	return []page.Sentence{caution}
}

// unevenly reports whether a command lets each level scatter in its own way, which goes with no blocks.
func unevenly(k *session.Call) bool {
	compared, ok := k.Command.Do.(*phrase.Compare)
	uneven := ok && compared.UnevenSpread
	k.FitCommand(func(options *phrase.FitOptions) { uneven = uneven || options.UnevenSpread })
	return uneven
}

// cautions adds the cautions that are the same for every analysis; that boards are ignored is none
// where they were allowed for.
func cautions(k *session.Call, blocksKnown bool) {
	a := k.Analysis
	if a == nil || k.Back != nil {
		return
	}
	if !blocksKnown {
		k.Entry.Warn(blockCautions(k, a.Sample, a.Columns)...)
	}
	k.Entry.Cautions = slices.Concat(unbrokenCaution(k), k.Entry.Cautions, modeCautions(k), tradeCautions(k),
		slopeCautions(k), weightCautions(k), correctionCautions(k), asideCautions(k))
}

// weightCautions warn of an analysis that takes every specimen alike though a column is marked as their weight.
func weightCautions(k *session.Call) []page.Sentence {
	a := k.Analysis
	c, marked := a.Sample.Frame.RoleColumn(frames.Weight)
	if !marked || a.Response.Column.Kind != frames.Number || slices.Contains(a.Columns, c.Name) {
		return nil
	}
	return []page.Sentence{page.Say("This takes every specimen alike, though " + c.Name +
		" is marked as their weight: a fit takes it where its line ends in weighted by " + c.Name +
		", and what is asked of that fit then does.")}
}

// slopeCautions warn of a response that was brought to reference conditions by slopes that the analysis takes as
// exact: those that were given, and those of columns that are not among its terms.
func slopeCautions(k *session.Call) []page.Sentence {
	c := k.Analysis.Response.Column
	if c.Adjusted == nil {
		return nil
	}
	var by []string
	for _, r := range c.Adjusted.To {
		if r.Exact || !slices.Contains(k.Analysis.Columns, r.Column) || k.Analysis.Response.Function != "" {
			by = append(by, r.Column)
		}
	}
	if len(by) == 0 {
		return nil
	}
	return []page.Sentence{page.Say("Slope taken as exact: " + c.Name + " was adjusted for " + session.Listed(by) +
		", and how sure that slope is is not in these intervals.")}
}
