package parser

import (
	"math"
	"slices"

	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// levelWant is what could stand where a level of the column is needed.
func levelWant(c phrase.KnownColumn) want {
	return want{what: "a level of " + c.Name, code: "level",
		words: func() []string { return lists.Mapped(c.Levels, phrase.Typed) }}
}

// level reads a level of a category column: its name bare (the longest that fits) or
// quoted, or its number with or without a unit. An unknown one is recorded and read past.
func (p *parser) level(c phrase.KnownColumn) (string, bool) {
	t, from := p.tok(), p.i
	if t.Kind == scan.Quote {
		p.i++
		if k := findQuoted(t.Text, c.Levels); k >= 0 {
			p.spans = append(p.spans, span{start: from, end: p.i, kind: levelSpan, column: c, name: c.Levels[k]})
			return c.Levels[k], true
		}
		p.unknownLevel(c, t.Text, t.Start+1)
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
	if t.Kind != scan.Word && t.Kind != scan.Number || p.stops() {
		return "", p.need(levelWant(c))
	}
	typed, at := p.tokenText(p.i), p.place()
	p.bare()
	if t.Kind == scan.Number {
		p.unitHere()
	}
	p.unknownLevel(c, typed, at)
	return "", true
}

func (p *parser) unknownLevel(c phrase.KnownColumn, typed string, at int) {
	if c.Name == "" {
		return // the column is at fault already
	}
	p.wrongName("unknown-level", at, c.Name+" has no level "+shown(typed), c.Levels, func() string {
		return phrase.Meant(typed, c.Levels, "its levels are")
	})
}

// numberWithUnit reads past a number whose unit cannot go with any level, for a
// column whose levels are numbers, and records why; else it reads nothing.
func (p *parser) numberWithUnit(c phrase.KnownColumn) bool {
	from := p.i
	if p.tok().Kind != scan.Number || !numericLevels(c) {
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
	p.checkUnit(c, phrase.Amount{Unit: u.String(), At: p.toks[from].Start + 1})
	if len(p.soft) == faults {
		p.unknownLevel(c, p.typed(from, to), p.toks[from].Start+1)
	}
	return true
}

// levelByNumber finds the level that is the number here, a unit converted to the
// column's, and how many tokens number and unit take; nothing is read yet.
func (p *parser) levelByNumber(c phrase.KnownColumn) (which, tokens int) {
	t, from := p.tok(), p.i
	if t.Kind != scan.Number {
		return -1, 0
	}
	p.i++
	x := t.Number
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
		if y := scan.Float(l); math.Abs(x-y) <= 1e-9*math.Abs(y) {
			return k, tokens
		}
	}
	return -1, 0
}

// columnOf is the column that a slot holds, whether it was read before or stands further on.
func (p *parser) columnOf(s pattern.Slot) phrase.KnownColumn {
	if len(s.Args) == 0 {
		return phrase.KnownColumn{}
	}
	held, _ := p.cmd.Held(p.out.Do, s.Args[0])
	ref, ok := held.(phrase.ColumnRef)
	if !ok || ref == (phrase.ColumnRef{}) { // not read yet
		return p.columnAhead(s.Args[0])
	}
	for _, c := range p.known.Columns(p.series) {
		if c.Name == ref.Column {
			return c
		}
	}
	return phrase.KnownColumn{}
}

// columnAhead finds the column of a slot further on: what stands last after the
// word that comes before that slot in the phrase.
func (p *parser) columnAhead(name string) phrase.KnownColumn {
	k := slices.IndexFunc(p.cmd.Nodes, func(n pattern.Node) bool {
		return n.Kind == pattern.Slotted && n.Slot.Name == name
	})
	if k < 1 || p.cmd.Nodes[k-1].Kind != pattern.Word {
		return phrase.KnownColumn{}
	}
	from := p.i
	defer func() { p.i = from }()
	for at := len(p.toks) - 2; at > from; at-- {
		p.i = at
		if p.isWord(0, p.cmd.Nodes[k-1].Words...) {
			p.i++
			c, _ := p.readColumn()
			return c
		}
	}
	return phrase.KnownColumn{}
}

func wantLevel(p *parser, s pattern.Slot) want { return levelWant(p.columnOf(s)) }

func readLevelSlot(p *parser, s pattern.Slot) (any, bool) { return p.levelRef(p.columnOf(s)) }

// levelRef is level with its place.
func (p *parser) levelRef(c phrase.KnownColumn) (phrase.LevelRef, bool) {
	at := p.place()
	l, ok := p.level(c)
	return phrase.LevelRef{Column: c.Name, Level: l, At: at}, ok
}

func readLevels(p *parser, s pattern.Slot) (any, bool) {
	c := p.columnOf(s)
	return listOf(p, func() (phrase.LevelRef, bool) { return p.levelRef(c) })
}
