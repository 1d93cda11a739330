package session

import (
	"math"

	"breakbook/frames"
	"breakbook/frames/functions"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// AsRatio turns a difference of logarithms into a share: 0.1 is 10.5 % more.
func AsRatio(g *say.Gap) {
	g.Value = math.Expm1(g.Value)
	g.Range = verdict.Range{Low: math.Expm1(g.Range.Low), High: math.Expm1(g.Range.High)}
	g.Unit, g.Style = "", page.Fraction
}

// Smallest is the size worth having as a model needs it and as it is said.
type Smallest struct {
	Value float64 // in the response's unit, or on its ln scale; 0 unknown
	Said  say.Worth
}

// WorthOf is the smallest difference worth having on a response: a percentage is of its mean over
// the whole series, specimens set aside apart, so that one book judges by one amount. A quiet
// rerun with other specimens judges by the amount of the series as it stands.
func (k *Call) WorthOf(r *Response) (Smallest, error) {
	w, err := k.WorthAsked()
	if err != nil {
		return Smallest{}, err
	}
	unit := r.Unit()
	switch {
	case w.Amount > 0:
		if r.Logged() { // an amount is no ratio
			return Smallest{}, k.RefuseWorth("on "+r.Name()+" a size worth having is a ratio", "worth 10%")
		}
		v, err := k.WorthIn(w, unit)
		return Smallest{v, say.Worth{Value: v, Unit: page.DifferenceUnit(unit)}}, err
	case r.Logged():
		return Smallest{math.Log1p(w.Share), say.Worth{Value: w.Share, Style: page.Fraction}}, nil
	}
	mean := k.MeanOfSeries(r)
	if mean > 0 && !NoRatio(r.Column) {
		v := w.Share * mean
		return Smallest{v, say.Worth{Value: v, Unit: page.DifferenceUnit(unit)}}, nil
	}
	if w.Share > 0 && !math.IsNaN(mean) {
		return Smallest{}, k.RefuseWorth("a percentage of "+r.Name()+
			" means nothing, for it has no natural zero or a mean that is not over it", "give an amount instead")
	}
	return Smallest{}, nil
}

// RefuseWorth refuses a size worth having that the command itself names. One that was said for all answers is passed
// over where it makes no sense.
func (k *Call) RefuseWorth(why, hint string) error {
	c := k.Command.Clauses().Worth
	if c == nil {
		return nil
	}
	return page.Refuse(page.CodeNoRatio, c.At, why, hint)
}

// MeanOfSeries is the mean of a response over the specimens of its series that are not set
// aside; NaN where there is none.
func (k *Call) MeanOfSeries(r *Response) float64 {
	s := k.Session
	if k.WorthFrom != nil {
		s = k.WorthFrom
	}
	f, ok := s.Frame(k.Entry.Series)
	if !ok {
		return math.NaN()
	}
	name := r.Column.Name
	if a := r.Column.Adjusted; a != nil { // it is judged by what the column is judged by that it was made of
		if of, there := f.Column(a.Of); there && of.Unit == r.Column.Unit {
			name = of.Name
		}
	}
	values, err := f.EachNumber(name)
	if err != nil {
		return math.NaN()
	}
	of, _ := functions.Named(r.Function)
	bare := k.bare(f)
	sum, n := 0.0, 0
	for row, x := range values {
		parallel.LookAt(k.Context, row)
		if _, aside := f.Aside(row); aside || math.IsNaN(x) || bare != nil && bare[row] {
			continue
		}
		if y := of(x); !math.IsNaN(y) && !math.IsInf(y, 0) {
			sum, n = sum+y, n+1
		}
	}
	return sum / float64(n)
}

// mostBare is how many cells a row holds at most that says nothing of what it is of: a response, and a word such as
// “total”.
const mostBare = 2

// bare marks the rows of a series that hold next to nothing, where most hold more than twice as much: no question by
// any column can take them, so they do not say how large a response is. Nil where there is none.
func (k *Call) bare(f *frames.Frame) []bool {
	columns := f.Columns()
	cells := make([]int, f.Len())
	holes := false
	for _, c := range columns {
		missing, err := f.MissingIn(c.Name)
		if err != nil {
			return nil
		}
		for row, is := range missing {
			parallel.LookAt(k.Context, row)
			if holes = holes || is; !is {
				cells[row]++
			}
		}
	}
	full := lists.Count(cells, func(n int) bool { return n > 2*mostBare })
	if !holes || 2*full <= len(cells) {
		return nil
	}
	return lists.Mapped(cells, func(n int) bool { return n <= mostBare })
}
