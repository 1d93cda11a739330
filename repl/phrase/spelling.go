package phrase

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"breakbook/models/lists"
	"breakbook/repl/phrase/scan"
)

// spelling writes names inside one command: bare where they read back as names, in
// quotation marks where they hold what a bare word cannot, or are words of the command.
type spelling struct {
	words []string // of the command's phrases, and of those that start with the same word
}

// grammar are the words of conditions, lists and expressions.
var grammar = []string{"and", "or", "not", "is", "among", "missing", "other", "than", "within", "curved", "together",
	"if", "otherwise", "column"}

// name writes the name of a column, a level, a result or a series, or any text that may
// be quoted. A level that is a plain number stands as it is.
func (s spelling) name(name string) string {
	if bare(name) && !s.claims(name) || plainNumber(name) {
		return name
	}
	return scan.Quoted(name)
}

// claims reports whether the command could take a word for one of its own.
func (s spelling) claims(word string) bool {
	word = strings.ToLower(word)
	return slices.Contains(s.words, word) || slices.Contains(grammar, word)
}

// own writes a name that a number is not bare as.
func (s spelling) own(name string) string {
	if plainNumber(name) {
		return scan.Quoted(name)
	}
	return s.name(name)
}

func (s spelling) column(c ColumnRef) string { return s.own(c.Column) }

// bare reports whether a text is one word that starts with a letter.
func bare(text string) bool {
	for i, r := range text {
		if !scan.IsWord(r) || i == 0 && !unicode.IsLetter(r) {
			return false
		}
	}
	return text != ""
}

// plainNumber reports whether a text is a number of digits and at most one point.
func plainNumber(text string) bool {
	whole, part, point := strings.Cut(text, ".")
	digits := func(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
	return digits(whole) && (!point || digits(part))
}

func (s spelling) file(f File) string {
	if f.Path == "" || strings.ContainsFunc(f.Path, unicode.IsSpace) || strings.ContainsFunc(f.Path, scan.IsQuote) ||
		strings.ContainsAny(f.Path, ";#,") || s.claims(f.Path) {
		return scan.Quoted(f.Path)
	}
	return f.Path
}

// rest writes free text, in quotation marks where it would not stay one command.
func (s spelling) rest(text string) string {
	first, _, _ := strings.Cut(text, " ")
	if text == "" || s.claims(first) || text != strings.TrimSpace(text) || strings.ContainsAny(text, ";#\n") ||
		strings.HasSuffix(text, ",") ||
		strings.ContainsFunc(text, scan.IsQuote) {
		return scan.Quoted(text)
	}
	return text
}

// spelledNumber writes a number in full, without a power of ten where it has few digits.
func spelledNumber(x float64) string {
	if a := max(x, -x); a == 0 || a >= 1e-4 && a < 1e15 {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// SpelledAmount writes a number with its unit; a percentage so that it reads back as the
// same fraction.
func SpelledAmount(a Amount) string {
	if !a.Percent {
		return strings.TrimSpace(spelledNumber(a.Value) + " " + UnitTyped(a.Unit))
	}
	x := 100 * a.Value
	for digits := 1; digits <= 17; digits++ {
		if y := scan.Float(strconv.FormatFloat(x, 'g', digits, 64)); y/100 == a.Value {
			return spelledNumber(y) + "%"
		}
	}
	for _, y := range []float64{math.Nextafter(x, 0), math.Nextafter(x, 2*x)} {
		if y/100 == a.Value {
			x = y
		}
	}
	return spelledNumber(x) + "%"
}

// columns writes columns and what is made of them.
func (s spelling) columns(held any) string {
	switch n := held.(type) {
	case ColumnRef:
		return s.column(n)
	case Columns:
		return joined(n.List, s.column)
	case Stack:
		return strings.Join(lists.Mapped(n.List, func(c Columns) string { return joined(c.List, s.column) }), " below ")
	case LevelRef:
		return s.name(n.Level)
	case Levels:
		return joined(n.List, func(l LevelRef) string { return s.name(l.Level) })
	case Response:
		return s.applied(n.Function, n.Column)
	case Terms:
		return joined(n.List, s.term)
	case Blocks:
		return joined(n.List, s.block)
	case Given:
		return joined(n.List, func(g GivenItem) string {
			return s.column(g.Column) + " " + strings.Join(lists.Mapped(g.Values, s.value), " or ")
		})
	case Amounts:
		return joined(n.List, SpelledAmount)
	case PerLevel:
		if n.All != nil {
			return spelledNumber(float64(n.All.Value))
		}
		return joined(n.List, func(c LevelCount) string {
			return spelledNumber(float64(c.N.Value)) + " " + s.name(c.Level.Level)
		})
	case Prices:
		return joined(n.List, func(c LevelPrice) string {
			return spelledNumber(c.Price) + " " + s.costUnit(n.Unit) + s.name(c.Level.Level)
		})
	case SpecimenRef:
		if n.Row > 0 {
			return "row " + spelledNumber(float64(n.Row))
		}
		return s.name(n.Text)
	case Cell:
		switch {
		case n.Missing:
			return "missing"
		case n.Amount != nil:
			return SpelledAmount(*n.Amount)
		}
		return s.name(n.Text)
	case Which:
		if n.Condition != nil {
			return "for " + s.condition(n.Condition, 0)
		}
		if len(n.Rows) > 0 {
			return "row " + joined(n.Rows, func(c Count) string { return spelledNumber(float64(c.Value)) })
		}
		return "specimen " + joined(n.Specimens, func(t Text) string { return s.name(t.Text) })
	}
	return ""
}

// costUnit writes what a price is in, with a blank after it.
func (s spelling) costUnit(unit string) string {
	if unit == "" {
		return ""
	}
	return UnitTyped(unit) + " "
}

func (s spelling) applied(function string, c ColumnRef) string {
	if function == "" {
		return s.column(c)
	}
	return function + "(" + s.column(c) + ")"
}

func (s spelling) term(t Term) string {
	factors := joined(t.Factors, s.factor)
	switch {
	case t.Together:
		return "together(" + factors + ")"
	case t.Curved:
		return factors + " curved"
	}
	return factors
}

func (s spelling) factor(f Factor) string {
	out := s.applied(f.Function, f.Column)
	if f.Power != 1 {
		out += "^" + spelledNumber(f.Power)
	}
	return out
}

func (s spelling) block(b BlockRef) string {
	return strings.Join(lists.Mapped(append([]ColumnRef{b.Column}, b.Within...), s.column), " within ")
}

func (s spelling) value(v Value) string {
	if v.Amount != nil {
		return SpelledAmount(*v.Amount)
	}
	return s.name(v.Text)
}

func (s spelling) mode(n Is) string {
	if len(n.Values) == 1 {
		return s.column(n.Column) + " is " + s.value(n.Values[0])
	}
	return s.column(n.Column) + " among " + joined(n.Values, s.value)
}

// How tightly a condition holds together.
const (
	orRank = iota
	andRank
	notRank
)

// condition writes a condition, in brackets where it does not hold together enough.
func (s spelling) condition(c Condition, rank int) string {
	text, own := "", notRank
	switch c := c.(type) {
	case Or:
		text, own = s.condition(c.Left, orRank)+" or "+s.condition(c.Right, andRank), orRank
	case And:
		text, own = s.condition(c.Left, andRank)+" and "+s.condition(c.Right, notRank), andRank
	case Not:
		return "not " + s.condition(c.Inner, notRank)
	case Inequality:
		return s.column(c.Column) + " " + c.Op + " " + SpelledAmount(c.Value)
	case Missing:
		return s.column(c.Column) + " is " + negated(c.Negate) + "missing"
	case Is:
		switch {
		case c.Negate && len(c.Values) > 1:
			return s.column(c.Column) + " is not among " + joined(c.Values, s.value)
		case c.Negate:
			return s.column(c.Column) + " is not " + s.value(c.Values[0])
		}
		return s.mode(c)
	}
	if own < rank {
		return "(" + text + ")"
	}
	return text
}

// anywhere is the spelling of what stands in a piece of a line, for whatever command: the
// words that clauses start with, and those that commonly come after a column or a level.
var anywhere = spelling{words: []string{"for", "from", "as", "to", "each", "confidence", "worth", "by", "on", "of",
	"against", "with", "at", "in", "into"}}

// ConditionText writes a condition as it is typed after `for`.
func ConditionText(c Condition) string { return anywhere.condition(c, 0) }

// Spelled writes one name, of a column, a level, a result or a series, for a piece of a line.
func Spelled(name string) string { return anywhere.name(name) }

// SpelledPath writes a file for a piece of a line.
func SpelledPath(path string) string { return anywhere.file(File{Path: path}) }
