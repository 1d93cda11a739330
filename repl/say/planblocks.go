package say

import (
	"strings"

	"breakbook/repl/page"
)

// Layout is how the specimens of a plan come from boards, batches or days.
type Layout struct {
	Block         string   // what the blocks are: "board"
	Whole, Within []string // factors of which a block is of one level, and of which it holds all
	Each          int      // specimens of each kind that meets in a block, a block
	Blocks        int      // in all
	SD            float64  // between blocks; 0: none was found
	Unit          string
	Known         bool // whether the series tells how much blocks differ
	Singles       bool // every specimen has a block of its own
	OneEach       bool // a plan that counts specimens: none shares its block with another of its level
	Shared        int  // specimens a kind, were every block shared among all levels; 0: not looked for
}

// Sentence tells the layout that the plan assumes, and what the blocks do to it.
func (l Layout) Sentence() page.Sentence {
	switch {
	case l.Singles:
		return page.Say("Every specimen here has a " + l.Block + " of its own, and so has every one of the plan.")
	case l.OneEach:
		return l.single()
	case !l.Known:
		return page.Say(l.hold(), ".")
	case l.SD == 0:
		return page.Say("One "+l.Block+" differs from the next by no more than single specimens do (the variance "+
			"between them is estimated as zero), so specimens are what counts. ", l.hold(), ".")
	case len(l.Whole) == 0:
		return page.Say(l.hold(), ". What one "+l.Block+" differs from the next by (sd ", page.Difference(l.SD, l.Unit),
			") is then in all levels alike and drops out when they are compared, as long as the fit is blocked by "+
				l.Block+".")
	}
	return page.Say(l.hold(), ". So for "+strings.Join(l.Whole, " and ")+" it is the number of values of "+l.Block+
		" that counts, not that of specimens: one "+l.Block+" differs from the next by ", page.Difference(l.SD, l.Unit),
		" (sd), and no number of specimens of one "+l.Block+" makes up for that.", page.If(l.Shared > 0,
			" Were each "+l.Block+" shared among all levels instead, ", l.Shared, " specimens of each would do."))
}

// hold says what one block holds.
func (l Layout) hold() page.Sentence {
	return page.Say("As in this series, each "+l.Block, page.If(len(l.Whole) > 0, " is of one level of "+
		strings.Join(l.Whole, " and ")+" and"), " gives ", l.Each, Plural(l.Each, " specimen", " specimens"),
		page.If(len(l.Within) > 0, " to every level of "+strings.Join(l.Within, " and ")))
}

// single says what a plan that counts specimens asks of blocks.
func (l Layout) single() page.Sentence {
	when := "specimen comes from a " + l.Block + " of its own."
	if len(l.Within) > 0 {
		when = l.Block + " gives one specimen to every level of " + strings.Join(l.Within, " and ") + "."
	}
	return page.Say("Specimens are counted, and those of one " + l.Block + " are alike: the numbers hold when each " +
		when)
}
