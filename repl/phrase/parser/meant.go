package parser

import (
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// seriesMeant is the series whose columns the command is about: the one named by
// `from`, else that of the result it takes, else the current one.
func (p *parser) seriesMeant() string {
	for _, t := range p.cmd.Tails {
		if t.Option != "" || t.Clause != phrase.From {
			continue
		}
		if name, ok := p.namedAfter(t.Nodes[0].Words[0], p.known.SeriesNames()); ok {
			return name
		}
	}
	if s, before, ok := resultSlot(p.cmd.Nodes, ""); ok {
		fitting := p.fitting(s.Args)
		if before != "" {
			names := lists.Mapped(fitting, func(r phrase.KnownResult) string { return r.Name })
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
		if p.toks[k].Kind != scan.Word || p.toks[k].Text != word {
			continue
		}
		if n := p.findName(k+1, names); n >= 0 {
			return names[n], true
		}
	}
	return "", false
}

// resultSlot finds the result a phrase is about, and the word before it.
func resultSlot(nodes []pattern.Node, before string) (pattern.Slot, string, bool) {
	for _, n := range nodes {
		switch {
		case n.Kind == pattern.Word:
			before = n.Words[0]
		case n.Kind == pattern.Slotted && n.Slot.Kind == "result":
			return n.Slot, before, true
		case n.Kind == pattern.Optional:
			if s, b, ok := resultSlot(n.Inner, before); ok {
				return s, b, true
			}
			before = ""
		default:
			before = ""
		}
	}
	return pattern.Slot{}, "", false
}

// fitting lists the results of the kinds, the latest last.
func (p *parser) fitting(kinds []string) []phrase.KnownResult {
	var out []phrase.KnownResult
	for _, r := range p.known.Results() {
		if len(kinds) == 0 || slices.Contains(kinds, r.Kind) {
			out = append(out, r)
		}
	}
	return out
}

// leaveOut fills the result slots of a part that was left out.
func (p *parser) leaveOut(nodes []pattern.Node) {
	s, _, ok := resultSlot(nodes, "")
	if !ok {
		return
	}
	fitting := p.fitting(s.Args)
	if len(fitting) == 0 {
		p.wrongName("no-result", p.place(), "there is no "+orKinds(s.Args)+" yet to take", nil,
			func() string { return exampleGiving(p.lang, s.Args, "", p.known) })
		return
	}
	p.fill(s, phrase.Name{Text: fitting[len(fitting)-1].Name})
}

// mostKinds is how many kinds of result are named; more are just results.
const mostKinds = 3

func orKinds(kinds []string) string {
	if len(kinds) == 0 || len(kinds) > mostKinds {
		return "result"
	}
	return orList(kinds)
}

// aMeasure says what belongs in the place of a fit of something else.
const aMeasure = "; a fit of a measure on terms is needed here"

// elsewhere says, of a result of another kind that was met, what belongs in its place.
func elsewhere(kinds []string, met string) string {
	if len(kinds) > mostKinds {
		return ", which does not belong here"
	}
	if slices.Contains(kinds, "fit") && strings.HasPrefix(a(met), a("fit")) {
		return aMeasure
	}
	return "; " + a(orKinds(kinds)) + " is needed here"
}
