package parser

import (
	"fmt"
	"math"
	"slices"

	"breakbook/frames/functions"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// ofColumns are the functions of one column that responses and terms know.
var ofColumns = functions.OfColumns()

// opensBracket reports whether a word with its bracket stands here, as in ln(x).
func (p *parser) opensBracket(words ...string) bool {
	return p.isWord(0, words...) && p.toks[p.i+1].Kind == scan.Mark && p.toks[p.i+1].Text == "("
}

// closeBracket takes the ) that must stand here.
func (p *parser) closeBracket() bool {
	return p.mark(")") || p.need(want{what: "a closing bracket", code: "word"})
}

func readResponse(p *parser, _ pattern.Slot) (any, bool) {
	out, ok := phrase.Response{At: p.place()}, false
	if p.opensBracket(ofColumns...) {
		out.Function, _, out.Column, ok = p.applied()
		return out, ok
	}
	p.note(want{what: "a function of a column", code: "function", words: func() []string {
		return lists.Mapped(ofColumns, func(f string) string { return f + "(" })
	}})
	_, out.Column, ok = p.column("number")
	return out, ok
}

// applied reads a function with its number column in brackets.
func (p *parser) applied() (function string, c phrase.KnownColumn, ref phrase.ColumnRef, ok bool) {
	function = p.tok().Text
	p.i += 2
	c, ref, ok = p.column("number")
	return function, c, ref, ok && p.closeBracket()
}

func wantTerm(p *parser, _ pattern.Slot) want {
	w := p.columnWant("")
	w.what, w.code = "a term (a column, or a function of one)", "term"
	columns := w.words
	w.words = func() []string {
		out := slices.Clone(columns())
		for _, f := range append([]string{"together", phrase.Step, phrase.Kink}, ofColumns...) {
			out = append(out, f+"(")
		}
		return out
	}
	return w
}

func readTerms(p *parser, _ pattern.Slot) (any, bool) {
	return listOf(p, p.term)
}

func (p *parser) change() (phrase.Factor, bool) {
	out, ok := phrase.Factor{At: p.place(), Power: 1}, false
	out.Function, _, out.Column, ok = p.applied()
	return out, ok
}

// term reads one term: together(…), step(x) or kink(x), a factor, or a factor with `curved` after it.
func (p *parser) term() (phrase.Term, bool) {
	out := phrase.Term{At: p.place()}
	if p.opensBracket("together") {
		p.i += 2
		factors, ok := listOf(p, func() (phrase.Factor, bool) {
			f, _, ok := p.factor()
			return f, ok
		})
		if out.Together, out.Factors = true, factors.List; !ok {
			return out, false
		}
		if len(out.Factors) < 2 {
			return out, p.fail("expected-term", "together( ) joins two columns or more", "together(pins, thickness)")
		}
		if n := len(out.Factors); n > mostTogether {
			p.wrong("too-many", out.At,
				fmt.Sprintf("together( ) of %d columns stands for 2^%d − 1 terms; it joins at most "+
					"%d columns, which is %d terms",
					n, n, mostTogether, 1<<mostTogether-1), "name the pairs that matter: together(pins, thickness)")
		}
		return out, p.closeBracket()
	}
	if p.opensBracket(phrase.Step, phrase.Kink) {
		f, ok := p.change()
		out.Factors = []phrase.Factor{f}
		return out, ok
	}
	if k := p.tok().Kind; k != scan.Word && k != scan.Quote && k != scan.Number || p.stops() && !p.columnHere() {
		return out, p.need(wantTerm(p, pattern.Slot{}))
	}
	f, c, ok := p.factor()
	out.Factors = []phrase.Factor{f}
	if !ok {
		return out, false
	}
	if c.Kind == "number" || c.Name == "" || p.isWord(0, "curved") {
		if at := p.place(); p.word("curved") {
			out.Curved = true
			if c.Name != "" {
				p.checkKind(c, "number", at)
			}
		}
	}
	return out, true
}

// factor reads a column, a function of one, or a power.
func (p *parser) factor() (phrase.Factor, phrase.KnownColumn, bool) {
	out := phrase.Factor{At: p.place(), Power: 1}
	if p.opensBracket(phrase.Step, phrase.Kink) {
		name := p.tok().Text
		f, ok := p.change()
		if ok {
			p.wrong("change-together", out.At, name+"( ) is a term of its own and cannot go into together( )",
				"write it beside the others, with a comma")
		}
		return f, phrase.KnownColumn{}, ok
	}
	var c phrase.KnownColumn
	var ok bool
	if p.opensBracket(ofColumns...) {
		if out.Function, c, out.Column, ok = p.applied(); !ok {
			return out, c, false
		}
		return out, c, p.power(&out, phrase.KnownColumn{})
	}
	if c, out.Column, ok = p.column(""); !ok {
		return out, c, false
	}
	if c.Kind == "text" {
		p.wrong("wrong-kind", out.Column.At, c.Name+" is a text column; a term is a number column or one with levels",
			mend(p.lang, phrase.NeedCategory, c.Name, ""))
	}
	return out, c, p.power(&out, c)
}

// mostTogether is how many columns are put together at most: k columns are 2^k − 1 terms.
const mostTogether = 6

// mostPower is the highest power of a column: beyond it a float64 holds none of the
// differences between specimens.
const mostPower = 20

// power reads `^3` after a factor.
func (p *parser) power(f *phrase.Factor, c phrase.KnownColumn) bool {
	if !p.mark("^") {
		return true
	}
	if c.Name != "" {
		p.checkKind(c, "number", f.At)
	}
	t := p.tok()
	if t.Kind != scan.Number || t.Number != t.Number {
		return p.need(want{what: "a number", code: "number"})
	}
	if math.Abs(t.Number) > mostPower {
		return p.fail("out-of-range", fmt.Sprintf("a power is between −%d and %d", mostPower, mostPower),
			"write it as a square or a cube: ^2")
	}
	if t.Number == 0 {
		return p.fail("expected-number", "a power of 0 is the same for every specimen", "")
	}
	f.Power = t.Number
	p.i++
	return true
}

func readGiven(p *parser, _ pattern.Slot) (any, bool) {
	return listOf(p, func() (phrase.GivenItem, bool) {
		c, ref, ok := p.column("")
		item := phrase.GivenItem{Column: ref, At: ref.At}
		for more := ok; more; more = ok && p.word("or") {
			p.noteValue(c)
			var v phrase.Value
			v, ok = p.value(c)
			item.Values = append(item.Values, v)
		}
		return item, ok
	})
}

func readBlocks(p *parser, _ pattern.Slot) (any, bool) {
	return listOf(p, func() (phrase.BlockRef, bool) {
		ref, ok := p.anyColumn()
		b := phrase.BlockRef{Column: ref, At: ref.At}
		for ok && p.word("within") {
			ref, ok = p.anyColumn()
			b.Within = append(b.Within, ref)
		}
		return b, ok
	})
}

// noteValue notes the levels that could stand here.
func (p *parser) noteValue(c phrase.KnownColumn) {
	if c.Kind == "category" {
		p.note(levelWant(c))
	}
}
