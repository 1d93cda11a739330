package parser

import (
	"slices"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/scan"
)

// expression writes a random expression that holds together at least as a rank asks.
func (w *writer) expression(depth, rank int) phrase.Expression {
	kind := w.count(0, 7)
	if depth == 0 {
		kind = w.count(0, 2)
	}
	switch {
	case kind == 3 && rank <= sumRank:
		return w.arithmetic(depth, sumRank, sumRank, productRank, "+", "-", "−")
	case kind == 4 && rank <= productRank:
		return w.arithmetic(depth, productRank, productRank, signedRank, "*", "/")
	case kind == 5 && rank <= powerRank:
		return w.arithmetic(depth, powerRank, operandRank, signedRank, "^")
	case kind == 6 && rank <= signedRank:
		return w.negative(depth)
	case kind == 7 && rank <= choiceRank:
		return w.choose(depth)
	case kind >= 3 && kind < 7:
		w.put("(")
		inner := w.expression(depth-1, choiceRank)
		w.glue(")")
		return inner
	case kind == 7:
		return w.functionOf(depth)
	}
	return w.operand(rank)
}

func (w *writer) operand(rank int) phrase.Expression {
	switch w.count(0, 3) {
	case 0:
		return w.number(rank > signedRank)
	case 1:
		return phrase.Words{Text: `a "b", if c`, At: w.put(`"a ""b"", if c"`)}
	case 2:
		at := w.word("column")
		c := w.columns("")[w.count(0, len(w.columns(""))-1)]
		return phrase.ColumnValue{Column: phrase.ColumnRef{Column: c.Name, At: w.put(inQuotes(c.Label))}, At: at}
	}
	c := w.columns("")[w.count(0, len(w.columns(""))-1)]
	at := w.put(w.pick(c.Name, w.cased(c.Name), c.Label))
	return phrase.ColumnValue{Column: phrase.ColumnRef{Column: c.Name, At: at}, At: at}
}

// number writes a constant; a percentage is in the unit percent.
func (w *writer) number(unsigned bool) phrase.Expression {
	text := w.pick("3", ".25", "1e3", "1200", "0")
	sign := 1.0
	at := 0
	if !unsigned && w.flip() {
		sign, at = -1, w.put(w.pick("-", "−"))
	}
	if here := w.put(text); at == 0 {
		at = here
	}
	out := phrase.Constant{Value: phrase.Amount{Value: sign * scan.Float(text), At: at}, At: at}
	switch w.count(0, 4) {
	case 0:
		w.glue(w.pick("", " ") + "N/mm²")
		out.Value.Unit = "N/mm2"
	case 1:
		w.glue(w.pick("%", " %"))
		out.Value.Unit = "percent"
	case 2:
		w.glue(w.pick("", " ") + "kgf")
		out.Value.Unit = "kgf"
	}
	return out
}

func (w *writer) arithmetic(depth, rank, left, right int, ops ...string) phrase.Expression {
	out := phrase.Arithmetic{}
	out.Left = w.expression(depth-1, left)
	written := w.pick(ops...)
	if out.At = len(w.line) + 1; w.flip() {
		w.glue(written)
	} else {
		out.At = w.put(written)
	}
	out.Op = written
	if written == "−" {
		out.Op = "-"
	}
	out.Right = w.expression(depth-1, right)
	return out
}

func (w *writer) negative(depth int) phrase.Expression {
	at := w.put(w.pick("-", "−"))
	inner := w.expression(depth-1, signedRank)
	if c, isNumber := inner.(phrase.Constant); isNumber {
		c.Value.Value, c.Value.At, c.At = -c.Value.Value, at, at
		return c
	}
	return phrase.Negative{Inner: inner, At: at}
}

func (w *writer) functionOf(depth int) phrase.Expression {
	out := phrase.FunctionOf{Function: w.pick(slices.Concat(oneValue, severalValues)...)}
	out.At = w.word(out.Function)
	w.glue("(")
	out.Arguments = append(out.Arguments, w.expression(depth-1, choiceRank))
	if slices.Contains(severalValues, out.Function) {
		w.glue(",")
		out.Arguments = append(out.Arguments, w.expression(depth-1, choiceRank))
	}
	w.glue(")")
	return out
}

func (w *writer) choose(depth int) phrase.Expression {
	out := phrase.Choose{At: len(w.line) + 1}
	start := len(w.line)
	out.Then = w.expression(depth-1, sumRank)
	for w.line[start] == ' ' || w.line[start] == '\t' {
		start++
	}
	out.At = start + 1
	w.word("if")
	out.If = w.condition(1)
	if w.flip() {
		w.glue(",")
	}
	w.word("otherwise")
	out.Otherwise = w.expression(depth-1, choiceRank)
	return out
}
