package parser

import (
	"math"
	"slices"
	"strings"

	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// readPerLevel reads one whole number, or a list of such, each with a level of the column of another slot.
func readPerLevel(p *parser, s pattern.Slot) (any, bool) {
	c, out := p.columnOf(s), phrase.PerLevel{At: p.place()}
	ok := p.list(func() bool {
		if !p.numberFirst(c) {
			return false
		}
		count, ok := p.count(0)
		if !ok {
			return false
		}
		if len(out.List) == 0 && (p.stops() || p.tok().Kind == scan.Comma) && !p.levelHere(c) {
			p.note(levelWant(c))
			out.All = &count
			return p.tok().Kind != scan.Comma || !p.moreAfterComma() || p.need(levelWant(c))
		}
		level, ok := p.oneLevel(c, lists.Mapped(out.List, func(l phrase.LevelCount) string { return l.Level.Level }))
		out.List = append(out.List, phrase.LevelCount{N: count, Level: level})
		return ok
	})
	return out, ok
}

// readPrices reads a list of prices, each with a level; a word between the two is what they are in.
func readPrices(p *parser, s pattern.Slot) (any, bool) {
	c, out := p.columnOf(s), phrase.Prices{At: p.place()}
	ok := p.list(func() bool {
		if !p.numberFirst(c) {
			return false
		}
		t := p.tok()
		if t.Kind != scan.Number {
			return p.need(want{what: "a number", code: "number"})
		}
		one := phrase.LevelPrice{Price: t.Number, At: p.place()}
		if !(t.Number > 0) || math.IsInf(t.Number, 0) {
			p.wrong("out-of-range", one.At, "a price is over zero", "")
			one.Price = 1
		}
		p.i++
		if unit, at := p.costUnit(c); unit != "" {
			if out.Unit != "" && out.Unit != unit {
				p.wrong("two-units", at, "prices are all in one unit, and the first is in "+out.Unit, "")
			}
			if len(out.List) > 0 && out.Unit == "" {
				p.wrong("two-units", at, "prices are all in one unit, and the first has none", "")
			}
			out.Unit = unit
		}
		var ok bool
		before := lists.Mapped(out.List, func(l phrase.LevelPrice) string { return l.Level.Level })
		one.Level, ok = p.oneLevel(c, before)
		out.List = append(out.List, one)
		return ok
	})
	return out, ok
}

// numberFirst says of a level that stands where its number is needed that the number comes first.
func (p *parser) numberFirst(c phrase.KnownColumn) bool {
	if k, n := p.longest(c.Levels); k >= 0 && p.tok().Kind == scan.Word && p.toks[p.i+n].Kind == scan.Number {
		return p.fail("expected-number", "a number is needed here, not "+shown(c.Levels[k]),
			"the number stands before its level: "+p.toks[p.i+n].Text+" "+phrase.Typed(c.Levels[k]))
	}
	return true
}

// oneLevel reads a level that was not read before.
func (p *parser) oneLevel(c phrase.KnownColumn, before []string) (phrase.LevelRef, bool) {
	ref, ok := p.levelRef(c)
	if ok && ref.Level != "" && slices.Contains(before, ref.Level) {
		p.wrong("repeated", ref.At, shown(ref.Level)+" is in this list twice", "keep one of them")
	}
	return ref, ok
}

// levelHere reports whether a level of the column stands here.
func (p *parser) levelHere(c phrase.KnownColumn) bool {
	if p.tok().Kind == scan.Quote {
		return true
	}
	if k, _ := p.longest(c.Levels); k >= 0 {
		return true
	}
	k, _ := p.levelByNumber(c)
	return k >= 0
}

// costUnit reads what a price is in, where a word stands before the level; "" where the level follows at once.
func (p *parser) costUnit(c phrase.KnownColumn) (unit string, at int) {
	if p.tok().Kind != scan.Word || p.levelHere(c) || p.isWord(0, "for", "of", "per", "from", "each", "with") {
		return "", 0 // a word that links is no unit: 2 for none
	}
	at, unit = p.place(), costUnitOf(p.tokenText(p.i))
	p.i++
	if p.levelHere(c) {
		return unit, at
	}
	p.i--
	return "", 0
}

// costUnitOf is a time in its canonical spelling, and any other word in lower case.
func costUnitOf(word string) string {
	if u, ok := units.Word(word); ok && u.Dimension() == "time" {
		return u.String()
	}
	return strings.ToLower(word)
}

// readCostUnit reads what a price is in.
func readCostUnit(p *parser, s pattern.Slot) (any, bool) {
	if p.tok().Kind != scan.Word || p.stops() {
		return nil, p.need(fixed("a word such as minute", "unit")(p, s))
	}
	out := phrase.Text{Text: costUnitOf(p.tokenText(p.i)), At: p.place()}
	p.i++
	return out, true
}
