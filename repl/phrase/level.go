package phrase

import (
	"math"
	"slices"

	"breakbook/frames/units"
)

// levelWant is what could stand where a level of the column is needed.
func levelWant(c KnownColumn) want {
	return want{what: "a level of " + c.Name, code: "level", words: func() []string { return mapped(c.Levels, spelled) }}
}

// level reads a level of a category column: its name bare (the longest that fits) or
// quoted, or its number with or without a unit. An unknown one is recorded and read past.
func (p *parser) level(c KnownColumn) (string, bool) {
	t, from := p.tok(), p.i
	if t.kind == quoteToken {
		p.i++
		if k := findQuoted(t.text, c.Levels); k >= 0 {
			p.spans = append(p.spans, span{start: from, end: p.i, kind: levelSpan, column: c, name: c.Levels[k]})
			return c.Levels[k], true
		}
		p.unknownLevel(c, t.text, t.start+1)
		return "", true
	}
	if p.numberWithUnit(c) {
		return "", true
	}
	k, n := p.longest(c.Levels)
	if kn, nn := p.levelByNumber(c); nn > n {
		k, n = kn, nn
	}
	if k >= 0 {
		p.i += n
		p.spans = append(p.spans, span{start: from, end: p.i, kind: levelSpan, column: c, name: c.Levels[k]})
		return c.Levels[k], true
	}
	if t.kind != wordToken && t.kind != numberToken || p.stops() {
		return "", p.need(levelWant(c))
	}
	typed, at := p.tokenText(p.i), p.place()
	p.bare()
	if t.kind == numberToken {
		p.unitHere()
	}
	p.unknownLevel(c, typed, at)
	return "", true
}

func (p *parser) unknownLevel(c KnownColumn, typed string, at int) {
	if c.Name == "" {
		return // the column is at fault already
	}
	p.wrong("unknown-level", at, c.Name+" has no level "+shown(typed), Meant(typed, c.Levels, "its levels are"))
}

// numberWithUnit reads past a number whose unit cannot go with any level, for a
// column whose levels are numbers, and records why; else it reads nothing.
func (p *parser) numberWithUnit(c KnownColumn) bool {
	from := p.i
	if p.tok().kind != numberToken || !numericLevels(c) {
		return false
	}
	p.i++
	u, ok := p.unitHere()
	to := p.i
	p.i = from
	if k, _ := p.levelByNumber(c); !ok || k >= 0 {
		return false
	}
	p.i = to
	faults := len(p.soft)
	p.checkUnit(c, Amount{Unit: u.String(), At: p.toks[from].start + 1})
	if len(p.soft) == faults {
		p.unknownLevel(c, p.typed(from, to), p.toks[from].start+1)
	}
	return true
}

// levelByNumber finds the level that is the number here, a unit converted to the
// column's, and how many tokens number and unit take; nothing is read yet.
func (p *parser) levelByNumber(c KnownColumn) (which, tokens int) {
	t, from := p.tok(), p.i
	if t.kind != numberToken {
		return -1, 0
	}
	p.i++
	x := t.number
	if u, ok := p.unitHere(); ok {
		if own, known := units.Parse(c.Unit); known && c.Unit != "" {
			y, err := units.Convert(x, u, own)
			if err != nil {
				p.i = from
				return -1, 0
			}
			x = y
		}
	}
	tokens, p.i = p.i-from, from
	for k, l := range c.Levels {
		if y := parseFloat(l); math.Abs(x-y) <= 1e-9*math.Abs(y) {
			return k, tokens
		}
	}
	return -1, 0
}

// columnOf is the column that a slot holds, whether it was read before or stands further on.
func (p *parser) columnOf(s slot) KnownColumn {
	if len(s.args) == 0 {
		return KnownColumn{}
	}
	held, _ := p.cmd.binding.get(p.out.Do, s.args[0])
	ref, ok := held.(ColumnRef)
	if !ok || ref == (ColumnRef{}) { // not read yet
		return p.columnAhead(s.args[0])
	}
	for _, c := range p.known.Columns(p.series) {
		if c.Name == ref.Column {
			return c
		}
	}
	return KnownColumn{}
}

// columnAhead finds the column of a slot further on: what stands last after the
// word that comes before that slot in the phrase.
func (p *parser) columnAhead(name string) KnownColumn {
	k := slices.IndexFunc(p.cmd.nodes, func(n node) bool { return n.kind == slotNode && n.slot.name == name })
	if k < 1 || p.cmd.nodes[k-1].kind != wordNode {
		return KnownColumn{}
	}
	from := p.i
	defer func() { p.i = from }()
	for at := len(p.toks) - 2; at > from; at-- {
		p.i = at
		if p.isWord(0, p.cmd.nodes[k-1].words...) {
			p.i++
			c, _ := p.readColumn()
			return c
		}
	}
	return KnownColumn{}
}

func wantLevel(p *parser, s slot) want { return levelWant(p.columnOf(s)) }

func readLevelSlot(p *parser, s slot) (Node, bool) {
	c, at := p.columnOf(s), p.place()
	l, ok := p.level(c)
	return LevelRef{Column: c.Name, Level: l, At: at}, ok
}

func readLevels(p *parser, s slot) (Node, bool) {
	c := p.columnOf(s)
	out := Levels{At: p.place()}
	ok := p.list(func() bool {
		at := p.place()
		l, ok := p.level(c)
		out.List = append(out.List, LevelRef{Column: c.Name, Level: l, At: at})
		return ok
	})
	return out, ok
}
