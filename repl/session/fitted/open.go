package fitted

import (
	"context"
	"math"

	"breakbook/models/place"
	"breakbook/repl/page"
)

// Places is the fit with the place of its change left open; nil for one without a change, or that meets
// every value.
func (f *Fit) Places(ctx context.Context) (*place.Open, error) {
	if f.Change == nil || f.Sigma == 0 {
		return nil, nil
	}
	return place.LeaveOpen(ctx, f.Response, f.Model(), f.Change.Term, f.Change.Found)
}

// Turns are the values of a number that a line through the fit has to be told at beside others: on both
// sides of a jump along it, or at a kink.
func (f *Fit) Turns(variable int) []float64 {
	c := f.Change
	switch {
	case c == nil || c.Variable != variable:
		return nil
	case c.Kind == place.Kink:
		return []float64{c.At}
	}
	return []float64{c.At, math.Nextafter(c.At, math.Inf(1))}
}

// TurnNote says what a drawn line and the band about it make of the place of the change.
func (f *Fit) TurnNote() page.Sentence {
	c := f.Change
	s := page.Say(c.Jump()+" of the line at ", page.Num{Value: c.At, Unit: c.Unit})
	if !c.LowIsEnd && !c.HighIsEnd {
		s = append(s, page.Say(" (", page.Num{Value: c.Confidence, Style: page.Fraction}, " interval ",
			page.Span{Low: c.Low, High: c.High, Unit: c.Unit}, ")")...)
	}
	return append(s, page.Word(", which the shade leaves open"))
}
