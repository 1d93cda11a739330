package phrase

import (
	"math"
	"strings"
	"unicode"

	"breakbook/models/lists"
	"breakbook/repl/phrase/scan"
)

// Expression gives one value a specimen: a tree of Constant, Words, ColumnValue,
// Negative, Arithmetic, FunctionOf and Choose.
type Expression interface {
	Place() int
	// String writes the expression so that it reads back as the same tree.
	String() string
}

// Constant is a number; a percentage has the unit percent.
type Constant struct {
	Value Amount
	At    int
}

// Words is a quoted text.
type Words struct {
	Text string
	At   int
}

// ColumnValue is the specimen's own value in a column.
type ColumnValue struct {
	Column ColumnRef
	At     int
}

// Negative turns the sign.
type Negative struct {
	Inner Expression
	At    int
}

// Arithmetic is Left Op Right, Op being + - * / or ^; At is where Op stands.
type Arithmetic struct {
	Op          string
	Left, Right Expression
	At          int
}

// FunctionOf is a function of values: ln, log10, exp, sqrt, abs, round of one value, least and most
// of two and more.
type FunctionOf struct {
	Function  string
	Arguments []Expression
	At        int
}

// Choose is Then where If holds, and Otherwise where it is known not to.
type Choose struct {
	If              Condition
	Then, Otherwise Expression
	At              int
}

func (e Constant) Place() int    { return e.At }
func (e Words) Place() int       { return e.At }
func (e ColumnValue) Place() int { return e.At }
func (e Negative) Place() int    { return e.At }
func (e Arithmetic) Place() int  { return e.At }
func (e FunctionOf) Place() int  { return e.At }
func (e Choose) Place() int      { return e.At }

func (e Constant) String() string {
	return SpelledAmount(e.Value)
}

// UnitTyped spells a unit without brackets or a number before it: N/(cm·m) is N/cm/m,
// and 1/mm2 is mm-2.
func UnitTyped(unit string) string {
	above, below, quotient := strings.Cut(unit, "/")
	if !quotient {
		return unit
	}
	parts := strings.Split(strings.Trim(below, "()"), "·")
	if above != "1" {
		return above + "/" + strings.Join(parts, "/")
	}
	for i, part := range parts {
		name := strings.TrimRight(part, "0123456789")
		power := part[len(name):]
		if power == "" {
			power = "1"
		}
		parts[i] = name + "-" + power
	}
	return strings.Join(parts, "·")
}

func (e Words) String() string { return scan.Quoted(e.Text) }

func (e ColumnValue) String() string {
	name := e.Column.Column
	plain := name != "" && (unicode.IsLetter([]rune(name)[0]) || name[0] == '_')
	for _, r := range name {
		plain = plain && scan.InName(r)
	}
	switch name {
	case "if", "otherwise", "and", "or", "column":
		plain = false
	}
	if plain {
		return name
	}
	return "column " + scan.Quoted(name)
}

func (e Negative) String() string { return "-" + bracketed(e.Inner, signedRank) }

func (e Arithmetic) String() string {
	rank := rankOf(e)
	left, right := rank, rank+1
	if rank == powerRank {
		left, right = operandRank, signedRank
	}
	return bracketed(e.Left, left) + " " + e.Op + " " + bracketed(e.Right, right)
}

func (e FunctionOf) String() string {
	return e.Function + "(" + strings.Join(lists.Mapped(e.Arguments, Expression.String), ", ") + ")"
}

func (e Choose) String() string {
	return bracketed(e.Then, sumRank) + " if " + ConditionText(e.If) + ", otherwise " + e.Otherwise.String()
}

// How tightly an expression holds together.
const (
	choiceRank = iota
	sumRank
	productRank
	signedRank
	powerRank
	operandRank
)

func rankOf(e Expression) int {
	switch e := e.(type) {
	case Choose:
		return choiceRank
	case Negative:
		return signedRank
	case Constant:
		if math.Signbit(e.Value.Value) {
			return signedRank
		}
	case Arithmetic:
		switch e.Op {
		case "+", "-":
			return sumRank
		case "*", "/":
			return productRank
		}
		return powerRank
	}
	return operandRank
}

// bracketed writes an expression, in brackets where it does not hold together enough.
func bracketed(e Expression, rank int) string {
	if rankOf(e) < rank {
		return "(" + e.String() + ")"
	}
	return e.String()
}

func negated(negate bool) string {
	if negate {
		return "not "
	}
	return ""
}
