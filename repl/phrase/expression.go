package phrase

import (
	"slices"

	"breakbook/frames/functions"
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

func wantOperand(p *parser, _ slot) want {
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

func readExpression(p *parser, _ slot) (Node, bool) {
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
	rest := scanFrom(p.in, t.start, expression)
	rest[0].glued = t.glued
	p.toks = append(slices.Clip(p.toks[:p.i]), rest...)
}

// deeper goes one bracket or sign down; false where that is too deep.
func (p *parser) deeper() bool {
	if p.depth++; p.depth > maxDepth {
		return p.fail("expected-expression", "this expression is nested too deep", "work it out in steps, a column each")
	}
	return true
}

func (p *parser) choice() (Expression, bool) {
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
	if p.tok().kind == commaToken {
		p.i++
	}
	if !p.word("otherwise") {
		return nil, p.need(literal([]string{"otherwise"}))
	}
	other, ok := p.choice()
	return Choose{If: test, Then: then, Otherwise: other, At: at}, ok
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

func (p *parser) sum() (Expression, bool)     { return p.leftToRight(p.product, "+", "-") }
func (p *parser) product() (Expression, bool) { return p.leftToRight(p.signed, "*", "/") }

func (p *parser) leftToRight(part func() (Expression, bool), operators ...string) (Expression, bool) {
	left, ok := part()
	for ok {
		op, at, found := p.operator(operators...)
		if !found {
			break
		}
		var right Expression
		right, ok = part()
		left = Arithmetic{Op: op, Left: left, Right: right, At: at}
	}
	return left, ok
}

// signed reads a value with or without signs before it; a number takes its sign in.
func (p *parser) signed() (Expression, bool) {
	_, at, minus := p.operator("-")
	if !minus {
		return p.raised()
	}
	if !p.deeper() {
		return nil, false
	}
	defer func() { p.depth-- }()
	inner, ok := p.signed()
	if c, isNumber := inner.(Constant); isNumber {
		c.Value.Value, c.Value.At, c.At = -c.Value.Value, at, at
		return c, ok
	}
	return Negative{Inner: inner, At: at}, ok
}

// raised reads a value and the power it is raised to, if any.
func (p *parser) raised() (Expression, bool) {
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
	return Arithmetic{Op: op, Left: base, Right: exponent, At: at}, ok
}

func (p *parser) operand() (Expression, bool) {
	at, t := p.place(), p.tok()
	switch {
	case t.kind == numberToken && !p.columnFrom(t):
		return p.constant()
	case t.kind == quoteToken:
		p.i++
		return Words{Text: t.text, At: at}, true
	case p.isWord(0, "column") && p.toks[p.i+1].kind == quoteToken:
		p.i++
		_, ref, ok := p.column("")
		return ColumnValue{Column: ref, At: at}, ok
	case p.opensBracket(oneValue...), p.opensBracket(severalValues...):
		return p.functionOf()
	case p.mark("("):
		inner, ok := p.choice()
		return inner, ok && p.closeBracket()
	case t.kind == wordToken && (!p.stops() || p.columnHere()), t.kind == numberToken:
		_, ref, ok := p.column("")
		return ColumnValue{Column: ref, At: at}, ok
	}
	return nil, p.need(wantOperand(p, slot{}))
}

// columnFrom reports whether a column's name that goes on after the number stands
// here, as 2nd_load.
func (p *parser) columnFrom(number token) bool {
	from := p.i
	_, found := p.readColumn()
	longer := found && p.toks[p.i-1].end > number.end
	p.i = from
	return longer
}

// constant reads a number with its unit; a percentage is in the unit percent.
func (p *parser) constant() (Expression, bool) {
	t := p.tok()
	out := Constant{Value: Amount{Value: t.number, At: p.place()}, At: p.place()}
	if t.number-t.number != 0 {
		p.wrong("expected-number", out.At, t.text+" is too large a number", "")
		out.Value.Value = 0
	}
	p.i++
	p.note(want{what: "a unit", code: "unit", words: func() []string { return unitsFor(KnownColumn{}) }})
	u, ok := p.unitInExpression()
	switch {
	case ok:
		out.Value.Unit = u
	case p.tok().kind == wordToken && !p.stops():
		at, typed := p.place(), p.tokenText(p.i)
		p.i++
		p.unknownUnit(typed, at)
	}
	return out, true
}

func (p *parser) functionOf() (Expression, bool) {
	out := FunctionOf{Function: p.tok().text, At: p.place()}
	several := slices.Contains(severalValues, out.Function)
	p.i += 2
	for {
		a, ok := p.choice()
		if !ok {
			return nil, false
		}
		out.Arguments = append(out.Arguments, a)
		if p.tok().kind != commaToken {
			break
		}
		if !several {
			return nil, p.fail("expected-expression", out.Function+"( ) takes one value", "")
		}
		p.i++
	}
	if several && len(out.Arguments) < 2 {
		return nil, p.fail("expected-expression", out.Function+"( ) takes two values or more, and gives one per specimen",
			out.Function+"(load, 500 N)")
	}
	return out, p.closeBracket()
}
