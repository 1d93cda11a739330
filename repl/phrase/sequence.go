package phrase

import (
	"slices"
)

// run reads the nodes one after the other. follow is what may come after them.
func (p *parser) run(nodes []node, follow []string, set func(slot, Node)) bool {
	for k, n := range nodes {
		after := starts(nodes[k+1:], follow)
		switch n.kind {
		case wordNode:
			if !p.word(n.words...) {
				return p.need(literal(n.words))
			}
		case commaNode:
			if p.tok().kind != commaToken {
				return p.need(want{what: "a comma", code: "word"})
			}
			p.i++
		case slotNode:
			p.follow = after
			value, ok := slotTypes()[n.slot.kind].read(p, n.slot)
			if !ok {
				return false
			}
			set(n.slot, value)
		case optionalNode:
			p.follow = after
			if !p.enters(n.inner) {
				p.leaveOut(n.inner)
			} else if !p.run(n.inner, after, set) {
				return false
			}
		}
	}
	return true
}

// starts are the bare words that the nodes can start with; where all may be left
// out, what follows them counts too.
func starts(nodes []node, follow []string) []string {
	var out []string
	for _, n := range nodes {
		switch n.kind {
		case wordNode:
			return append(out, n.words...)
		case optionalNode:
			out = append(out, starts(n.inner, nil)...)
		default:
			return out
		}
	}
	return append(out, follow...)
}

// enters decides by the next token whether an optional part is there.
func (p *parser) enters(nodes []node) bool {
	switch first := nodes[0]; first.kind {
	case wordNode:
		if p.isWord(0, first.words...) {
			return true
		}
		p.note(literal(first.words))
		return false
	case commaNode:
		return p.moreAfterComma()
	case slotNode:
		if p.stops() || p.tok().kind == commaToken {
			p.note(slotTypes()[first.slot.kind].want(p, first.slot))
			return false
		}
	}
	return true
}

// moreAfterComma reports whether a comma stands here that a list goes on after,
// and not one before a clause or an option.
func (p *parser) moreAfterComma() bool {
	if p.tok().kind != commaToken {
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
	return slices.ContainsFunc(p.cmd.tails, func(t tail) bool { return p.leads(t) == t.lead })
}

// leads counts how many of the leading words of a tail stand here.
func (p *parser) leads(t tail) int {
	n := 0
	for n < t.lead && p.isWord(n, t.nodes[n].words...) {
		n++
	}
	return n
}

// tails reads the options and clauses to the end of the command.
func (p *parser) tails() bool {
	for {
		if p.tok().kind == commaToken {
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
		for k, t := range p.cmd.tails {
			if n := p.leads(t); n > 0 && (best < 0 || n > p.leads(p.cmd.tails[best])) {
				best = k
			}
		}
		if best < 0 {
			return p.strayHere()
		}
		if !p.tail(p.cmd.tails[best]) {
			return false
		}
	}
}

func (p *parser) tail(t tail) bool {
	if p.done[t.key] {
		return p.fail("repeated", inQuotes(t.key)+" is on this line twice", "keep one of them")
	}
	p.done[t.key] = true
	if t.option != "" {
		if own, _ := slotsOf(t.nodes); len(own) == 0 {
			p.cmd.binding.set(p.out.Do, t.option, true)
		}
		return p.run(t.nodes, nil, p.fill)
	}
	return p.run(t.nodes, nil, p.fill)
}
