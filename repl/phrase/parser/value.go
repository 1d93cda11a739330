package parser

import (
	"fmt"
	"math"
	"slices"

	"breakbook/frames/units"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// unitHere reads a unit: a word, a word with what is glued to it, or a % sign.
func (p *parser) unitHere() (units.Unit, bool) {
	t := p.tok()
	switch {
	case p.isMark("%"):
		if u, ok := units.Word("%"); ok {
			p.i++
			return u, true
		}
	case t.Kind == scan.Word:
		text := p.unitText()
		if u, ok := units.Word(text); ok {
			p.skipTo(t.Start + len([]rune(text)))
			return u, true
		}
	}
	return units.Unit{}, false
}

// unitText is the word here with what is glued to it, powers with their mark too: all of kg/m^3.
func (p *parser) unitText() string {
	end := p.i + 1
	for ; p.toks[end].Glued; end++ {
		t, next := p.toks[end], p.toks[min(end+1, len(p.toks)-1)]
		power := t.Kind == scan.Mark && t.Text == "^" && next.Glued && next.Kind == scan.Number
		if t.Kind != scan.Word && t.Kind != scan.Number && !power {
			break
		}
	}
	return p.typed(p.i, end)
}

// unitInExpression reads the longest unit that stands here without a blank: all of
// N/mm2, but only the N of N/thickness. It gives the canonical spelling.
func (p *parser) unitInExpression() (string, bool) {
	t := p.tok()
	if p.isMark("%") {
		u, ok := p.unitHere()
		return u.String(), ok
	}
	if t.Kind != scan.Word {
		return "", false
	}
	last := p.i
	for k := p.i + 1; p.toks[k].Glued && p.toks[k].Kind != scan.End && scan.IsWord(p.in[p.toks[k].Start]); k++ {
		last = k
	}
	for ; last >= p.i; last-- {
		if u, ok := units.Word(p.typed(p.i, last+1)); ok {
			p.i = last + 1
			return u.String(), true
		}
	}
	return "", false
}

// unitsFor are the units that go with a column; with none, all of them.
func unitsFor(c phrase.KnownColumn) []string {
	own, _ := units.Parse(c.Unit)
	if c.Name == "" || own.None() {
		return units.Known()
	}
	return slices.DeleteFunc(slices.Clone(units.Known()), func(s string) bool {
		u, _ := units.Parse(s)
		return u.Dimension() != own.Dimension()
	})
}

// amount reads a number with its unit, if it has one; the column it stands beside, if
// any, tells which units to offer.
func (p *parser) amount(what string, c phrase.KnownColumn) (phrase.Amount, bool) {
	t := p.tok()
	if t.Kind != scan.Number {
		return phrase.Amount{}, p.need(want{what: what, code: "number"})
	}
	out := phrase.Amount{Value: t.Number, At: p.place()}
	if math.IsNaN(t.Number) || math.IsInf(t.Number, 0) {
		p.wrong("expected-number", out.At, t.Text+" is too large a number", "")
		out.Value = 0
	}
	p.i++
	if p.mark("%") {
		out.Value, out.Percent = out.Value/100, true
		return out, true
	}
	p.note(want{what: "a unit", code: "unit", words: func() []string { return unitsFor(c) }})
	u, ok := p.unitHere()
	switch {
	case ok && u.String() == "percent":
		out.Value, out.Percent = out.Value/100, true
	case ok:
		out.Unit = u.String()
	case p.tok().Kind == scan.Word && !p.stops():
		at, typed := p.place(), p.tokenText(p.i)
		p.i++
		p.unknownUnit(typed, at)
	}
	return out, true
}

// amountOf reads an amount that stands beside a number column: a percentage is in
// the unit percent there, and a unit must measure what the column's does.
func (p *parser) amountOf(c phrase.KnownColumn) (phrase.Amount, bool) {
	from := p.i
	what := "a number"
	if c.Name != "" {
		what = "a number for " + c.Name
	}
	x, ok := p.amount(what, c)
	if !ok {
		return x, false
	}
	p.spans = append(p.spans, span{start: from, end: p.i, kind: amountSpan, column: c})
	if x.Percent {
		if u, ok := units.Word("%"); ok {
			x = phrase.Amount{Value: p.toks[from].Number, Unit: u.String(), At: x.At}
		}
	}
	p.checkUnit(c, x)
	return x, true
}

// checkUnit records that an amount's unit does not go with the column.
func (p *parser) checkUnit(c phrase.KnownColumn, x phrase.Amount) {
	if x.Unit == "" || c.Name == "" {
		return
	}
	u, known := units.Parse(x.Unit)
	own, _ := units.Parse(c.Unit)
	switch {
	case !known || u.Dimension() == own.Dimension():
	case c.Unit == "" && c.Kind == "category":
	case c.Unit == "":
		p.wrong("wrong-dimension", x.At, c.Name+" has no unit, so "+x.Unit+" cannot be compared with it",
			mend(p.lang, phrase.NoUnit, c.Name, x.Unit))
	default:
		p.wrong("wrong-dimension", x.At,
			c.Name+" is in "+c.Unit+", a unit of "+own.Dimension()+"; "+x.Unit+" is a unit of "+u.Dimension(), "")
		if p.probing && len(p.soft) == 1 {
			p.near, p.nearTo = []string{phrase.UnitTyped(c.Unit)}, p.toks[p.i-1].End
		}
	}
}

// readAmountSlot reads an amount; of one that stands beside a column (`beside`), a last word is that column and no
// unit.
func readAmountSlot(p *parser, s pattern.Slot) (any, bool) {
	p.note(fixed("a number", "number")(p, s))
	if slices.Contains(s.Args, "beside") && p.tok().Kind == scan.Number {
		if out, bare := p.bareBeside(); bare {
			return out, true
		}
	}
	return p.amount("a number", phrase.KnownColumn{})
}

// bareBeside reads a number that has no unit before a column; bare is false, and nothing is read, where it has one.
func (p *parser) bareBeside() (out phrase.Amount, bare bool) {
	from, t := p.i, p.tok()
	p.i++
	next, percent := p.i, p.isMark("%")
	_, unit := p.unitHere()
	if percent || unit && !p.stops() || math.IsNaN(t.Number) || math.IsInf(t.Number, 0) {
		p.i = from
		return out, false
	}
	p.i = next
	return phrase.Amount{Value: t.Number, At: t.Start + 1}, true
}

// readAmounts reads amounts that stand beside the column of another slot.
func readAmounts(p *parser, s pattern.Slot) (any, bool) {
	c := p.columnOf(s)
	return listOf(p, func() (phrase.Amount, bool) { return p.amountOf(c) })
}

func readPercent(p *parser, s pattern.Slot) (any, bool) {
	at, t := p.place(), p.tok()
	if t.Kind != scan.Number {
		return nil, p.need(fixed("a percentage between 0% and 100%", "percent")(p, s))
	}
	p.i++
	out := phrase.Amount{Value: t.Number / 100, Percent: true, At: at}
	switch {
	case !(t.Number > 0 && t.Number < 100):
		p.mark("%")
		p.wrong("expected-percent", at, "a percentage between 0% and 100% is needed here, not "+t.Text, "")
	case !p.mark("%"):
		hint := "did you mean " + t.Text + "%?"
		switch {
		case t.Number < 50 && (s.Name == "confidence" || s.Name == "level"):
			hint = "an interval has 50% to 99.99%, such as 95%"
		case t.Number < 1:
			hint = ""
		}
		p.wrong("expected-percent", at, t.Text+" is not a percentage", hint)
	}
	return out, true
}

// wholeNumber reads a whole number of at least least.
func (p *parser) wholeNumber(least int) (int, bool) {
	t := p.tok()
	x := t.Number
	if t.Kind != scan.Number || x != math.Trunc(x) || math.Abs(x) > 1<<53 || p.toks[p.i+1].Glued &&
		p.toks[p.i+1].Kind == scan.Mark {
		return 0, p.need(want{what: "a whole number", code: "number"})
	}
	if x < float64(least) {
		p.wrong("expected-number", p.place(), fmt.Sprintf("a whole number from %d on is needed here, not %s",
			least, t.Text), "")
		x = float64(least)
	}
	p.i++
	return int(x), true
}

func readCount(p *parser, _ pattern.Slot) (any, bool) { return p.count(0) }

// count is wholeNumber with its place.
func (p *parser) count(least int) (phrase.Count, bool) {
	at := p.place()
	n, ok := p.wholeNumber(least)
	return phrase.Count{Value: n, At: at}, ok
}

func readExtent(p *parser, _ pattern.Slot) (any, bool) {
	out := phrase.Extent{First: 1, At: p.place()}
	n, ok := p.wholeNumber(1)
	if !ok {
		return nil, false
	}
	out.Last = n
	if !p.word("to") {
		return out, true
	}
	at := p.place()
	if out.Last, ok = p.wholeNumber(1); !ok {
		return nil, false
	}
	if out.First = n; out.Last < out.First {
		p.wrong("expected-number", at, "the last row comes before the first", "")
	}
	return out, true
}

// value reads what a column of its kind can hold.
func (p *parser) value(c phrase.KnownColumn) (phrase.Value, bool) {
	at := p.place()
	switch {
	case c.Kind == "number", c.Name == "" && p.tok().Kind == scan.Number:
		x, ok := p.amountOf(c)
		return phrase.Value{Amount: &x, At: at}, ok
	case c.Kind == "category":
		l, ok := p.level(c)
		return phrase.Value{Text: l, At: at}, ok
	}
	text, ok := "", false
	if !p.stops() {
		text, ok = p.bare()
	}
	return phrase.Value{Text: text, At: at}, ok || p.need(anyText)
}
