package phrase

import (
	"slices"
)

// seriesMeant is the series whose columns the command is about: the one named by
// `from`, else that of the result it takes, else the current one.
func (p *parser) seriesMeant() string {
	for _, t := range p.cmd.tails {
		if t.option != "" || t.clause != From {
			continue
		}
		if name, ok := p.namedAfter(t.nodes[0].words[0], p.known.SeriesNames()); ok {
			return name
		}
	}
	if s, before, ok := resultSlot(p.cmd.nodes, ""); ok {
		fitting := p.fitting(s.args)
		if before != "" {
			names := mapped(fitting, func(r KnownResult) string { return r.Name })
			if name, ok := p.namedAfter(before, names); ok {
				k := slices.Index(names, name)
				return fitting[k].Series
			}
		}
		if len(fitting) > 0 {
			return fitting[len(fitting)-1].Series
		}
	}
	return p.known.Current()
}

// namedAfter finds the last place where the word stands before one of the names.
func (p *parser) namedAfter(word string, names []string) (string, bool) {
	for k := len(p.toks) - 2; k >= 0; k-- {
		if p.toks[k].kind != wordToken || p.toks[k].text != word {
			continue
		}
		if n := p.findName(k+1, names); n >= 0 {
			return names[n], true
		}
	}
	return "", false
}

// resultSlot finds the result a phrase is about, and the word before it.
func resultSlot(nodes []node, before string) (slot, string, bool) {
	for _, n := range nodes {
		switch {
		case n.kind == wordNode:
			before = n.words[0]
		case n.kind == slotNode && n.slot.kind == "result":
			return n.slot, before, true
		case n.kind == optionalNode:
			if s, b, ok := resultSlot(n.inner, before); ok {
				return s, b, true
			}
			before = ""
		default:
			before = ""
		}
	}
	return slot{}, "", false
}

// fitting lists the results of the kinds, the latest last.
func (p *parser) fitting(kinds []string) []KnownResult {
	var out []KnownResult
	for _, r := range p.known.Results() {
		if len(kinds) == 0 || slices.Contains(kinds, r.Kind) {
			out = append(out, r)
		}
	}
	return out
}

// leaveOut fills the result slots of a part that was left out.
func (p *parser) leaveOut(nodes []node) {
	s, _, ok := resultSlot(nodes, "")
	if !ok {
		return
	}
	fitting := p.fitting(s.args)
	if len(fitting) == 0 {
		p.wrong("no-result", p.place(), "there is no "+orKinds(s.args)+" yet to take", p.lang.exampleGiving(s.args, p.known))
		return
	}
	p.fill(s, Name{Text: fitting[len(fitting)-1].Name})
}

func orKinds(kinds []string) string {
	if len(kinds) == 0 {
		return "result"
	}
	return orList(kinds)
}
