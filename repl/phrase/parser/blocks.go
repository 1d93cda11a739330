package parser

import (
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
)

func readBlocks(p *parser, _ pattern.Slot) (phrase.Node, bool) {
	out := phrase.Blocks{At: p.place()}
	ok := p.list(func() bool {
		_, ref, ok := p.column("")
		if !ok {
			return false
		}
		b := phrase.BlockRef{Column: ref, At: ref.At}
		for p.word("within") {
			_, ref, ok := p.column("")
			if !ok {
				return false
			}
			b.Within = append(b.Within, ref)
		}
		out.List = append(out.List, b)
		return true
	})
	return out, ok
}
