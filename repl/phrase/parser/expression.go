package parser

import (
	"slices"

	"breakbook/frames/functions"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// The grammar of an expression, the loosest binding first:
//
//	choice   sum [if CONDITION[,] otherwise choice]
//	sum      product { + | - product }
//	product  signed { * | / signed }
//	signed   - signed | power
//	power    operand [^ signed]
//	operand  number [unit] | "text" | COLUMN | column "…" | function(choice, …) | (choice)
//
// Inside an expression - and / are operators wherever they stand, so load/thickness
// is a quotient; a column that is called so is typed as column "load/thickness".

// oneValue are the functions of one value; severalValues take two and more.
var (
	oneValue      = functions.OfValues()
	severalValues = []string{"smallest", "largest"}
)

// longestExpression bounds how much is read as one expression.
const longestExpression = 10_000

func wantOperand(p *parser, _ pattern.Slot) want {
	w := p.columnWant("")
	w.what, w.code = "a value (a number, a column, a function or a bracket)", "expression"
	columns := w.words
	w.words = func() []string {
		out := slices.Clone(columns())
		for _, f := range slices.Concat(oneValue, severalValues) {
			out = append(out, f+"(")
		}
		return out
	}
	return w
}

func readExpression(p *parser, _ pattern.Slot) (any, bool) {
	if len(p.in) > longestExpression {
		return nil, p.fail("expected-expression", "this expression is too long", "work it out in steps, a column each")
	}
	outer := p.follow
	p.follow = append(slices.Clone(p.follow), "if", "otherwise")
	p.rescan(true)
	e, ok := p.choice()
	p.rescan(false)
	p.follow = outer
	return e, ok
}

// rescan reads what is left as tokens of an expression, or of anything else.
func (p *parser) rescan(expression bool) {
	p.expression = expression
	t := p.tok()
	rest := scan.TokensFrom(p.in, t.Start, expression)
	rest[0].Glued = t.Glued
	p.toks = append(slices.Clip(p.toks[:p.i]), rest...)
}

// deeper goes one bracket or sign down; false where that is too deep.
func (p *parser) deeper() bool {
	if p.depth++; p.depth > maxDepth {
		return p.fail("expected-expression", "this expression is nested too deep",
			"work it out in steps, a column each")
	}
	return true
}

func (p *parser) choice() (phrase.Expression, bool) {
	if !p.deeper() {
		return nil, false
	}
	defer func() { p.depth-- }()
	at := p.place()
	then, ok := p.sum()
	if !ok || !p.word("if") {
		return then, ok
	}
	p.rescan(false)
	test, ok := p.or()
	p.rescan(true)
	if !ok {
		return nil, false
	}
	if p.tok().Kind == scan.Comma {
		p.i++
	}
	if !p.word("otherwise") {
		return nil, p.need(literal([]string{"otherwise"}))
	}
	other, ok := p.choice()
	return phrase.Choose{If: test, Then: then, Otherwise: other, At: at}, ok
}

// operator takes one of the operators, and says which and where.
func (p *parser) operator(among ...string) (op string, at int, found bool) {
	at = p.place()
	for _, op := range among {
		if p.mark(op) || op == "-" && p.mark("−") {
			return op, at, true
		}
	}
	return "", 0, false
}

func (p *parser) sum() (phrase.Expression, bool)     { return p.leftToRight(p.product, "+", "-") }
func (p *parser) product() (phrase.Expression, bool) { return p.leftToRight(p.signed, "*", "/") }

func (p *parser) leftToRight(part func() (phrase.Expression, bool), operators ...string) (phrase.Expression, bool) {
	left, ok := part()
	for ok {
		op, at, found := p.operator(operators...)
		if !found {
			break
		}
		var right phrase.Expression
		right, ok = part()
		left = phrase.Arithmetic{Op: op, Left: left, Right: right, At: at}
	}
	return left, ok
}

// signed reads a value with or without signs before it; a number takes its sign in.
func (p *parser) signed() (phrase.Expression, bool) {
	_, at, minus := p.operator("-")
	if !minus {
		return p.raised()
	}
	if !p.deeper() {
		return nil, false
	}
	defer func() { p.depth-- }()
	inner, ok := p.signed()
	if c, isNumber := inner.(phrase.Constant); isNumber {
		c.Value.Value, c.Value.At, c.At = -c.Value.Value, at, at
		return c, ok
	}
	return phrase.Negative{Inner: inner, At: at}, ok
}

// raised reads a value and the power it is raised to, if any.
func (p *parser) raised() (phrase.Expression, bool) {
	base, ok := p.operand()
	if !ok {
		return nil, false
	}
	op, at, found := p.operator("^")
	if !found {
		return base, true
	}
	if !p.deeper() {
		return nil, false
	}
	defer func() { p.depth-- }()
	exponent, ok := p.signed()
	return phrase.Arithmetic{Op: op, Left: base, Right: exponent, At: at}, ok
}

func (p *parser) operand() (phrase.Expression, bool) {
	at, t := p.place(), p.tok()
	switch {
	case t.Kind == scan.Number && !p.columnFrom(t):
		return p.constant()
	case t.Kind == scan.Quote:
		p.i++
		return phrase.Words{Text: t.Text, At: at}, true
	case p.isWord(0, "column") && p.toks[p.i+1].Kind == scan.Quote:
		p.i++
		_, ref, ok := p.column("")
		return phrase.ColumnValue{Column: ref, At: at}, ok
	case p.opensBracket(oneValue...), p.opensBracket(severalValues...):
		return p.functionOf()
	case p.mark("("):
		inner, ok := p.choice()
		return inner, ok && p.closeBracket()
	case t.Kind == scan.Word && (!p.stops() || p.columnHere()), t.Kind == scan.Number:
		_, ref, ok := p.column("")
		return phrase.ColumnValue{Column: ref, At: at}, ok
	}
	return nil, p.need(wantOperand(p, pattern.Slot{}))
}

// columnFrom reports whether a column's name that goes on after the number stands
// here, as 2nd_load.
func (p *parser) columnFrom(number scan.Token) bool {
	from := p.i
	_, found := p.readColumn()
	longer := found && p.toks[p.i-1].End > number.End
	p.i = from
	return longer
}

// constant reads a number with its unit; a percentage is in the unit percent.
func (p *parser) constant() (phrase.Expression, bool) {
	t := p.tok()
	out := phrase.Constant{Value: phrase.Amount{Value: t.Number, At: p.place()}, At: p.place()}
	if t.Number-t.Number != 0 {
		p.wrong("expected-number", out.At, t.Text+" is too large a number", "")
		out.Value.Value = 0
	}
	p.i++
	p.note(want{what: "a unit", code: "unit", words: func() []string { return unitsFor(phrase.KnownColumn{}) }})
	u, ok := p.unitInExpression()
	switch {
	case ok:
		out.Value.Unit = u
	case p.tok().Kind == scan.Word && !p.stops():
		at, typed := p.place(), p.tokenText(p.i)
		p.i++
		p.unknownUnit(typed, at)
	}
	return out, true
}

func (p *parser) functionOf() (phrase.Expression, bool) {
	out := phrase.FunctionOf{Function: p.tok().Text, At: p.place()}
	several := slices.Contains(severalValues, out.Function)
	p.i += 2
	for {
		a, ok := p.choice()
		if !ok {
			return nil, false
		}
		out.Arguments = append(out.Arguments, a)
		if p.tok().Kind != scan.Comma {
			break
		}
		if !several {
			return nil, p.fail("expected-expression", out.Function+"( ) takes one value", "")
		}
		p.i++
	}
	if several && len(out.Arguments) < 2 {
		return nil, p.fail("expected-expression", out.Function+
			"( ) takes two values or more, and gives one per specimen", out.Function+"(load, 500 N)")
	}
	return out, p.closeBracket()
}
