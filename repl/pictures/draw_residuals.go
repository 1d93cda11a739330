package pictures

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// DrawResiduals shows the residuals of a fit against what it expected, a number column or the test order.
func DrawResiduals(k *session.Call, cmd *phrase.DrawResiduals) (*session.Outcome, error) {
	f, err := fitted.Named(k, cmd.Fit)
	if err != nil {
		return nil, err
	}
	u := f.Y.Unit()
	at, axis := f.Fitted, page.Axis{Label: "Expected " + f.Y.Expected(), Unit: u}
	against, title := "the "+f.Y.Measure()+" expected", ""
	switch {
	case cmd.X != nil && cmd.OverOrder:
		return nil, page.Refuse(page.CodeTwoWays, cmd.X.At,
			"residuals are drawn against a column or in test order, not both", "keep one of them")
	case cmd.X != nil:
		c, _ := f.Sample.Frame.Column(cmd.X.Column)
		if at, err = f.Sample.Number(cmd.X.Column); err != nil {
			return nil, session.WithPlace(err, cmd.X.At)
		}
		axis, against = session.AxisOf(c), session.InSentence(c)
		title = " against " + against
	case cmd.OverOrder:
		order, err := orderOf(f.Sample)
		if err != nil {
			return nil, err
		}
		at, axis, against, title = order.at, order.axis, order.against, order.in
	}
	fig, err := k.Picture("Residuals of "+f.Y.Expected()+title, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = axis, page.Axis{Label: "Residual: measured less expected", Unit: page.DifferenceUnit(u)}
	points := roomFor(len(at))
	for i, x := range at {
		parallel.LookAt(k.Context, i)
		if !math.IsNaN(x) { // a column that the fit does not know may lack values
			points.Add(x, f.Residuals[i], 0, f.Sample.Frame.SpecimenName(i))
		}
	}
	if len(points.X) == 0 {
		return nil, page.Refuse(page.CodeNoSpecimens, cmd.X.At, "none of the specimens of the fit has a value of "+
			cmd.X.Column, "")
	}
	points.Odd = oddest(points.Y)
	fig.Layers = []page.Layer{page.Rule{Y: 0, Bold: true}, points}
	missing := len(at) - len(points.X)
	fig.Note = andNote(page.Say("Each mark one specimen"), oddNote(points.Odd, "what the fit expects"),
		page.If(missing > 0, missing, " missing"))
	fig.Alt = page.Say("The residuals (measured less expected) of ", len(points.X), " specimens against "+against+
		"; they scatter about zero by ", page.Difference(f.Sigma, u), " (sd).")
	return k.Drawn(fig)
}

// fewForOdd is how many specimens a picture has at least that names the oddest.
const fewForOdd = 6

// oddest are the two that are furthest off; none where there are too few to call any odd.
func oddest(off []float64) []int {
	if len(off) < fewForOdd {
		return nil
	}
	order := make([]int, 0, 3)
	for i := range off {
		order = append(order, i)
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(math.Abs(off[b]), math.Abs(off[a])) })
		order = order[:min(2, len(order))]
	}
	return order
}

// oddNote says which specimens are named; nil where none is.
func oddNote(odd []int, off string) page.Sentence {
	return page.If(len(odd) > 0, "named: the two furthest from "+off)
}
