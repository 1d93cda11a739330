package session

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// Gaps are the differences that an answer is made of, as they are drawn: a row each.
type Gaps struct {
	Of         frames.Column                // what was measured, or how specimens failed
	Calls      func(c frames.Column) string // that column in a sentence: "break load", "the chance of glue"
	Unit       string
	Confidence float64
	Worth      say.Worth
	Drove      bool   // they are of the factors of what drove something
	Modes      bool   // a row is of one of several ways of failing
	Factor     string // the column whose levels all rows compare; "": each row has its own
	Series     string // the column of the series that the rows are of; "": they are of no series
	Means      bool   // the rows are means, and Joint is what all of them together say
	Joint      float64
	Rows       []GapRow
}

// GapRow is one difference: what it is of, its size with its interval, and the answer.
type GapRow struct {
	Factors    []string      // one, or several that changed together; nil: the column that all rows compare
	With, Than page.Sentence // the levels, or two values of a number: With less Than; no Than: a name alone
	Where      string        // what it holds within, the way of failing, or the series; "": everywhere
	Value      float64
	Range      verdict.Range // not known: there is none
	HasAnswer  bool          // false: a size alone
	Answer     verdict.Answer
	Key        string // of the answer, for what is held against it
}

// MeasureBy says how a column is called in a sentence whose function was taken.
func MeasureBy(function string) func(frames.Column) string {
	return func(c frames.Column) string {
		r := Response{Column: c, Function: function}
		return r.Measure()
	}
}

// Add puts a difference among the rows; one of logarithms is a percentage.
func (g *Gaps) Add(row GapRow, gap say.Gap) {
	by := 1.0
	if g.Unit, g.Worth = page.DifferenceUnit(gap.Unit), gap.Worth; gap.Style == page.Fraction {
		by, g.Unit = 100, "percent"
		g.Worth.Value *= 100
	}
	row.Value, row.Range = by*gap.Value, verdict.Range{Low: by * gap.Range.Low, High: by * gap.Range.High}
	if gap.Route != "" {
		row.Range = verdict.Range{Low: math.NaN(), High: math.NaN()}
	}
	row.HasAnswer, row.Answer, row.Key = true, gap.Answer, gap.Of
	g.Rows = append(g.Rows, row)
}

// InOrder are the rows as a picture has them: the largest difference first, but series in their own order.
func (g *Gaps) InOrder() []GapRow {
	if g.Series != "" {
		return g.Rows
	}
	rows := slices.Clone(g.Rows)
	slices.SortStableFunc(rows, func(a, b GapRow) int { return cmp.Compare(math.Abs(b.Value), math.Abs(a.Value)) })
	return rows
}

// Label names the row on an axis, its columns as called calls them: "pins: pair against none; glue warm".
func (r GapRow) Label(called func(column string) string) page.Sentence {
	s := page.Say(r.Of(called))
	if len(r.Factors) > 0 && len(r.With) > 0 {
		s = append(s, page.Word(": "))
	}
	if s = append(s, r.With...); len(r.Than) > 0 {
		s = append(append(s, page.Word(" against ")), r.Than...)
	}
	if r.Where == "" {
		return s
	}
	if len(r.Factors) > 0 || len(r.With) > 0 {
		s = append(s, page.Word("; "))
	}
	return append(s, page.Word(r.Where))
}

// Of names the columns of the row: "place or cure temp".
func (r GapRow) Of(called func(column string) string) string {
	return strings.Join(lists.Mapped(r.Factors, called), " or ")
}

// Levels are the two levels of a difference without the column they are of: "pair" and "none".
func Levels(g say.Gap, factor string) (with, than page.Sentence) {
	with, than = slices.Clone(g.With), g.Than
	if len(with) == 0 {
		return page.Say("all specimens"), than
	}
	if first, ok := with[0].(page.Word); ok {
		with[0] = page.Word(strings.TrimPrefix(string(first), factor+" "))
	}
	return with, than
}
