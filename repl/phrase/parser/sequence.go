package parser

import (
	"slices"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// run reads the nodes one after the other. follow is what may come after them.
func (p *parser) run(nodes []pattern.Node, follow []string, set func(pattern.Slot, any)) bool {
	for k, n := range nodes {
		after := starts(nodes[k+1:], follow)
		switch n.Kind {
		case pattern.Word:
			if !p.word(n.Words...) {
				return p.need(literal(n.Words))
			}
		case pattern.Comma:
			if p.tok().Kind != scan.Comma {
				return p.need(want{what: "a comma", code: "word"})
			}
			p.i++
		case pattern.Slotted:
			p.follow = after
			value, ok := slotTypes()[n.Slot.Kind].read(p, n.Slot)
			if !ok {
				return false
			}
			set(n.Slot, value)
		case pattern.Optional:
			p.follow = after
			if follow == nil && !slices.ContainsFunc(nodes[k:],
				func(n pattern.Node) bool { return n.Kind != pattern.Optional }) {
				p.whole = p.i
			}
			if !p.enters(n.Inner) {
				p.leaveOut(n.Inner)
			} else if !p.run(n.Inner, after, set) {
				return false
			}
		}
	}
	return true
}

// starts are the bare words that the nodes can start with; where all may be left
// out, what follows them counts too.
func starts(nodes []pattern.Node, follow []string) []string {
	var out []string
	for _, n := range nodes {
		switch n.Kind {
		case pattern.Word:
			return append(out, n.Words...)
		case pattern.Optional:
			out = append(out, starts(n.Inner, nil)...)
		default:
			return out
		}
	}
	return append(out, follow...)
}

// enters decides by the next token whether an optional part is there.
func (p *parser) enters(nodes []pattern.Node) bool {
	switch first := nodes[0]; first.Kind {
	case pattern.Word:
		if p.isWord(0, first.Words...) {
			return true
		}
		p.note(literal(first.Words))
		return false
	case pattern.Comma:
		return p.moreAfterComma()
	case pattern.Slotted:
		if p.stops() || p.tok().Kind == scan.Comma {
			p.note(slotTypes()[first.Slot.Kind].want(p, first.Slot))
			return false
		}
	}
	return true
}

// moreAfterComma reports whether a comma stands here that a list goes on after,
// and not one before a clause or an option.
func (p *parser) moreAfterComma() bool {
	if p.tok().Kind != scan.Comma {
		return false
	}
	p.i++
	more := p.end() || !p.stops()
	p.i--
	return more
}

// stops reports whether the current token ends what a slot can hold: the end, a
// word of the phrase that comes next, a clause or an option, `and` or `or`.
func (p *parser) stops() bool {
	return p.end() || p.isWord(0, p.follow...) || p.isWord(0, "and", "or") || p.startsTail()
}

// startsTail reports whether all leading words of a clause or option stand here.
func (p *parser) startsTail() bool {
	return slices.ContainsFunc(p.cmd.Tails, func(t phrase.Tail) bool { return p.leads(t) == t.Lead })
}

// leads counts how many of the leading words of a tail stand here.
func (p *parser) leads(t phrase.Tail) int {
	n := 0
	for n < t.Lead && p.isWord(n, t.Nodes[n].Words...) {
		n++
	}
	return n
}

// better reports whether more of a tail's leading words stand here than of another's, or as many and
// none of its own is lacking: "from gates" is the clause, where "from zero" is an option.
func (p *parser) better(t, than phrase.Tail) bool {
	n, m := p.leads(t), p.leads(than)
	return n > m || n == m && n == t.Lead && m < than.Lead
}

// tails reads the options and clauses to the end of the command.
func (p *parser) tails() bool {
	for {
		if p.tok().Kind == scan.Comma {
			p.i++
			if p.end() {
				p.noteTails()
				return p.need(want{what: "something after the comma", code: "word"})
			}
		}
		if p.end() {
			p.noteTails()
			return true
		}
		best := -1
		for k, t := range p.cmd.Tails {
			if p.leads(t) > 0 && (best < 0 || p.better(t, p.cmd.Tails[best])) {
				best = k
			}
		}
		if best < 0 {
			return p.strayHere()
		}
		if !p.tail(p.cmd.Tails[best]) {
			return false
		}
	}
}

func (p *parser) tail(t phrase.Tail) bool {
	if p.done[t.Key] {
		return p.fail("repeated", inQuotes(t.Key)+" is on this line twice", "keep one of them")
	}
	p.done[t.Key] = true
	if t.Option != "" {
		if own, _ := pattern.Slots(t.Nodes); len(own) == 0 {
			p.cmd.Set(p.out.Do, t.Option, true)
		}
		return p.run(t.Nodes, nil, p.fill)
	}
	return p.run(t.Nodes, nil, p.fill)
}
