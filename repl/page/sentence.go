package page

import (
	"math"
	"slices"
	"strings"
)

// Sentence is plain words with typed slots for numbers, so that one place alone
// (repl/render) decides how many digits a number shows and how its unit is written.
type Sentence []Part

// Part is a piece of a sentence: Word, Unit, Num, Span, Chance or Verdict.
type Part interface{ isPart() }

// Word is text that stands as it is.
type Word string

// Unit is a unit on its own, as it is kept: "degF".
type Unit string

// Num is one number with its unit.
//
// Resolution is the half width of the number's own interval where it has one; the
// renderer then shows no more digits than the interval supports. Zero means unknown. Of an exact number it is the
// finest step it supports.
type Num struct {
	Value      float64
	Unit       string
	Style      Style
	Resolution float64
	Signed     bool // show a plus sign on positive numbers
	End        bool // of an interval: not shown as 0 unless it is
}

// Span is an interval: "from 12 N to 40 N". An infinite end, or one that is NaN, has no limit there; two
// that are NaN are not known.
type Span struct {
	Low, High float64
	Unit      string
	Style     Style
}

// Chance is a probability, between 0 and 1, shown as a p-value is ("p = 0.03").
type Chance float64

// Verdict is the answer that ends a finding: its words, and what follows them up to the full stop (how many specimens
// would settle it). Of names the difference that is answered; Doubt is what its checks hold against it, "" for nothing.
type Verdict struct {
	Words string
	More  Sentence
	Of    string
	Doubt string
}

// Answers reports whether the sentence carries an answer.
func (s Sentence) Answers() bool {
	return slices.ContainsFunc(s, func(p Part) bool { _, answers := p.(Verdict); return answers })
}

// Style says what kind of number it is, so that the renderer can show it well.
type Style uint8

const (
	Plain    Style = iota // a measured quantity: digits by size or by resolution
	Count                 // a whole number
	Fraction              // between 0 and 1, shown as a percentage
	Percent               // already a percentage, 12 meaning 12 %
	P                     // a probability of the p-value kind
	Exact                 // as many digits as it has
	DF                    // degrees of freedom: whole where whole, else one decimal
	Ratio                 // a test statistic (t, F, q): three significant digits
	Quotient              // a ratio of odds or strengths: as a test statistic, but never shown as 0
)

func (Word) isPart()    {}
func (Unit) isPart()    {}
func (Num) isPart()     {}
func (Span) isPart()    {}
func (Chance) isPart()  {}
func (Verdict) isPart() {}

// Say builds a sentence from words and parts: a string is taken as a Word, an int as a Count.
func Say(parts ...any) Sentence {
	var s Sentence
	for _, p := range parts {
		switch v := p.(type) {
		case string:
			s = append(s, Word(v))
		case int:
			s = append(s, Num{Value: float64(v), Style: Count})
		case Sentence:
			s = append(s, v...)
		case Part:
			s = append(s, v)
		default:
			panic("page.Say: neither words nor a part of a sentence")
		}
	}
	return s
}

// If is what Say makes of the parts where something is so, else nothing.
func If(is bool, parts ...any) Sentence {
	if !is {
		return nil
	}
	return Say(parts...)
}

// Joined is what is said of each of some things, with words between.
func Joined[T any](all []T, between string, say func(T) Sentence) Sentence {
	var s Sentence
	for i, one := range all {
		s = append(s, If(i > 0, between)...)
		s = append(s, say(one)...)
	}
	return s
}

// Share is a share of a whole, shown as a percentage.
func Share(x float64) Num { return Num{Value: x, Style: Fraction} }

// In is a quantity in a unit.
func In(x float64, unit string) Num { return Num{Value: x, Unit: unit} }

// Difference is a difference between two quantities in a unit, or an sd of some.
func Difference(x float64, unit string) Num { return In(x, DifferenceUnit(unit)) }

// DifferenceUnit is what a difference of quantities in a unit is told in: of percents, percentage points, which nobody
// takes for a share of one of the two.
func DifferenceUnit(unit string) string {
	if per, ok := strings.CutPrefix(unit, "percent per "); ok {
		return PercentagePoints + " per " + per
	}
	if unit == "percent" {
		return PercentagePoints
	}
	return unit
}

// PercentagePoints is the unit of a difference between two percentages.
const PercentagePoints = "percentage points"

// None is a number that does not exist: null in JSON, a dash in a table.
var None = math.NaN()
