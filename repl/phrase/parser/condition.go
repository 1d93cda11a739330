package parser

import (
	"slices"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
)

var comparisons = []string{"<", "<=", ">", ">="}

func readCondition(p *parser, _ pattern.Slot) (any, bool) {
	c, ok := p.or()
	return c, ok
}

// or reads conditions joined by `or`, which binds less than `and`.
func (p *parser) or() (phrase.Condition, bool) {
	at := p.place()
	left, ok := p.and()
	for ok && p.word("or") {
		var right phrase.Condition
		right, ok = p.and()
		left = phrase.Or{Left: left, Right: right, At: at}
	}
	return left, ok
}

func (p *parser) and() (phrase.Condition, bool) {
	at := p.place()
	left, ok := p.not()
	for ok && p.word("and") {
		var right phrase.Condition
		right, ok = p.not()
		left = phrase.And{Left: left, Right: right, At: at}
	}
	return left, ok
}

// maxDepth bounds how deep brackets and `not` may nest.
const maxDepth = 100

func (p *parser) not() (phrase.Condition, bool) {
	at := p.place()
	if p.depth++; p.depth > maxDepth {
		return nil, p.fail("expected-condition", "this condition is nested too deep", "")
	}
	defer func() { p.depth-- }()
	switch {
	case p.isWord(0, "not") && !p.columnAsked():
		p.i++
		inner, ok := p.not()
		return phrase.Not{Inner: inner, At: at}, ok
	case p.mark("("):
		inner, ok := p.or()
		return inner, ok && p.closeBracket()
	}
	return p.test()
}

// columnAsked reports whether a column's name stands here with a question after it, so that
// a column called "not" can be asked about too.
func (p *parser) columnAsked() bool {
	from := p.i
	_, found := p.readColumn()
	asked := found && p.isWord(0, append([]string{"is", "among", "="}, comparisons...)...)
	p.i = from
	return asked
}

// test reads one column with what is asked of it.
func (p *parser) test() (phrase.Condition, bool) {
	at := p.place()
	c, ref, ok := p.column("")
	if !ok {
		return nil, false
	}
	for _, op := range comparisons {
		if p.mark(op) {
			if c.Name != "" {
				p.checkKind(c, "number", ref.At)
			}
			x, ok := p.amountOf(c)
			return phrase.Inequality{Column: ref, Op: op, Value: x, At: at}, ok
		}
	}
	if p.mark("=") {
		return p.is(c, phrase.Is{Column: ref, At: at}, false)
	}
	if p.word("among") {
		return p.is(c, phrase.Is{Column: ref, At: at}, true)
	}
	if !p.word("is") {
		return nil, p.need(want{what: "is, among, <, <=, > or >=", code: "word", words: func() []string {
			return slices.Concat([]string{"is", "among"}, comparisons)
		}})
	}
	negate := false
	switch {
	case p.isWord(0, "other") && p.isWord(1, "than"):
		p.i += 2
		return p.is(c, phrase.Is{Column: ref, Negate: true, At: at}, false)
	case p.word("not"):
		negate = true
	default:
		p.note(literal([]string{"other than"}))
	}
	if p.word("missing") {
		return phrase.Missing{Column: ref, Negate: negate, At: at}, true
	}
	list := p.word("among")
	return p.is(c, phrase.Is{Column: ref, Negate: negate, At: at}, list)
}

// is reads the value, or the list of values, that a column is to have.
func (p *parser) is(c phrase.KnownColumn, out phrase.Is, list bool) (phrase.Condition, bool) {
	one := func() (phrase.Value, bool) {
		p.noteValue(c)
		return p.value(c)
	}
	if list {
		values, ok := listOf(p, one)
		out.Values = values.List
		return out, ok
	}
	v, ok := one()
	out.Values = []phrase.Value{v}
	return out, ok
}

// readMode reads a way of breaking: a column with one of its levels (`failure is glue`) or
// several that count as one (`failure among glue, mixed`). It gives an Is.
func readMode(p *parser, _ pattern.Slot) (any, bool) {
	at := p.place()
	c, ref, ok := p.column("category")
	if !ok {
		return nil, false
	}
	list := p.word("among")
	if !list && !p.word("is") {
		return nil, p.need(want{what: "is or among", code: "word",
			words: func() []string { return []string{"is", "among"} }})
	}
	return p.is(c, phrase.Is{Column: ref, At: at}, list)
}
