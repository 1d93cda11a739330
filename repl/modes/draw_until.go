package modes

import (
	"context"
	"errors"
	"math"
	"slices"
	"sort"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// proper is the name of a distribution in a sentence: Weibull was a person.
func proper(distribution string) string {
	if distribution == "weibull" {
		return say.Capital(distribution)
	}
	return distribution
}

// holdingAlt tells what a picture of the share still holding shows.
func holdingAlt(mode, measure, unit, by string, levels []levelStrength, fitted bool) page.Sentence {
	return page.Say("The share of specimens still holding as the "+measure+" rises, until "+mode,
		page.If(by != "", ", by "+by), ": steps for the specimens, no distribution assumed",
		page.If(fitted, ", dashed for the fit"), page.If(len(levels) > 0, ". By the fit half carry "),
		page.Joined(levels, "; ", func(l levelStrength) page.Sentence {
			return page.Say("more than ", l.medianWords(unit), page.If(l.said != "", " with "+l.said))
		}), ".")
}

// curveSteps is how many places a fitted curve is computed at.
const curveSteps = 120

// DrawUntil shows the share still holding as the load rises, were one way of breaking the
// only one: steps by the product-limit estimate, and the fitted curve where one can be fitted.
func DrawUntil(k *session.Call, cmd *phrase.DrawUntil) (*session.Outcome, error) {
	mode := cmd.Mode
	columns := []string{mode.Column.Column}
	var by phrase.ColumnRef
	grouped := cmd.A != nil
	var terms phrase.Terms
	if grouped {
		by = *cmd.A
		columns = append(columns, by.Column)
		only := phrase.Term{Factors: []phrase.Factor{{Column: by, Power: 1, At: by.At}}, At: by.At}
		terms = phrase.Terms{At: by.At, List: []phrase.Term{only}}
	}
	s, r, err := k.Measured(cmd.Y, columns...)
	if err != nil {
		return nil, err
	}
	u, err := oneModeIfAny(k, cmd, s, terms)
	if err != nil {
		return nil, err
	}
	is := mode.Column.Column + " is " + session.ModeName(mode)
	title := r.AxisLabel() + " until " + is
	c, _ := s.Frame.Column(by.Column)
	if grouped {
		title += " by " + session.InSentence(c)
	}
	fig, err := k.Picture(title, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = r.Axis(), page.Axis{Label: "Share still holding", Unit: "percent", FromZero: true}
	ended, err := session.Where(k.Context, s.Frame, mode)
	if err != nil {
		return nil, err
	}
	if u != nil {
		if ended, err = u.top.ended(k, s.Frame, mode); err != nil {
			return nil, err
		}
	}
	groups := []session.Group{{Values: r.Values, Rows: session.AllRows(len(r.Values))}}
	if grouped {
		if groups, err = k.Groups(s, r.Values, by); err != nil {
			return nil, err
		}
		fig.KeyTitle = c.Label
	}
	least, most := session.MinMax(r.Values)
	for _, g := range groups {
		look := page.NoLook
		if grouped {
			look = session.LookOf(c, g.Level)
			fig.Keys = append(fig.Keys, page.Key{Label: g.Level, Look: look})
		}
		named := g.Level
		if !grouped {
			named = "all"
		}
		fig.Holding = append(fig.Holding, page.Holding{Label: named, Look: look, Ends: g.Values})
		fig.Layers = append(fig.Layers, steps(k.Context, s.Frame, g, ended, least, look)...)
	}
	specimens := "specimens, in steps"
	if slices.Contains(ended, false) {
		specimens += "; pale: ended another way"
	}
	fig.Keys = append(fig.Keys, page.Key{Label: specimens, Look: page.NoLook, Sample: page.SampleLine})
	var carried []levelStrength
	if u != nil {
		if carried, err = fittedCurves(k, u, &fig, least, most, c); err != nil {
			return nil, err
		}
	}
	fig.Alt = holdingAlt(is, session.InSentence(r.Column), r.Unit(), by.Column, carried, u != nil)
	return k.Drawn(fig)
}

// oneModeIfAny fits one way of breaking for a figure of a sample; nil, with a caution, where too
// few broke so.
func oneModeIfAny(k *session.Call, cmd *phrase.DrawUntil, s *session.Sample, terms phrase.Terms) (*oneMode, error) {
	counts := s.Counts
	u, err := OneMode(k, cmd.Y, cmd.Mode, terms, cmd.Scatter)
	k.Entry.Specimens = &counts
	var p *page.Problem
	switch {
	case errors.As(err, &p) && p.Code == "too-few-breaks":
		k.Entry.Warn(page.Say("No curve is fitted: " + p.Message + "."))
		return nil, nil
	case err != nil:
		return nil, err
	}
	k.Entry.Warn(u.leftOut...)
	return u, nil
}

// fittedCurves adds the fitted curve of every level of c, or of all specimens, and its key to a
// figure of loads from least to most.
func fittedCurves(k *session.Call, u *oneMode, fig *page.Figure, least, most float64,
	c frames.Column) ([]levelStrength, error) {
	all, err := u.strengths(k, k.Confidence())
	if err != nil {
		return nil, err
	}
	for _, one := range all {
		look := page.NoLook
		if one.variable >= 0 {
			look = session.LookOf(c, u.Place.Model().Variables[one.variable].Levels[one.level])
		}
		fig.Layers = append(fig.Layers, u.holding(one, least, most, look))
	}
	fig.Keys = append(fig.Keys, page.Key{Label: "fitted, " + proper(u.Distribution.Name()), Look: page.NoLook,
		Sample: page.SampleDashes})
	return namedLevels(all), nil
}

// steps is a product-limit curve in percent, from the least load drawn to the group's last, with
// every specimen on it; those that broke another way stand back.
func steps(ctx context.Context, f *frames.Frame, g session.Group, ended []bool, least float64, look int) []page.Layer {
	mine := lists.Mapped(g.Rows, func(row int) bool { return ended[row] })
	line := page.Line{X: []float64{least}, Y: []float64{100}, Look: look}
	at := 100.0
	curve := strength.ProductLimit(ctx, g.Values, mine)
	for _, s := range curve {
		line.X, line.Y = append(line.X, s.Load, s.Load), append(line.Y, at, 100*s.Holds)
		at = 100 * s.Holds
	}
	_, last := session.MinMax(g.Values)
	line.X, line.Y = append(line.X, last), append(line.Y, at)
	broke, cut := page.Points{}, page.Points{Faint: true}
	for i, load := range g.Values {
		to := &cut
		if mine[i] {
			to = &broke
		}
		at := 100.0
		if k := sort.Search(len(curve), func(k int) bool { return curve[k].Load > load }); k > 0 {
			at = 100 * curve[k-1].Holds
		}
		to.X, to.Y, to.Looks = append(to.X, load), append(to.Y, at), append(to.Looks, look)
		to.Names = append(to.Names, f.SpecimenName(g.Rows[i]))
	}
	return []page.Layer{line, cut, broke}
}

const (
	fewHold    = 0.005 // the share at which a fitted curve has come down to the axis
	mostBeyond = 0.25  // how far past the loads seen it is drawn at most, of their range
)

// holding is the fitted share above each load, in percent: from the least load seen to where
// hardly any hold, or a little past the largest one seen.
func (u *oneMode) holding(one levelStrength, least, most float64, look int) page.Line {
	line := page.Line{Look: look, Dashed: true}
	place := 0.0
	for i, w := range one.weights {
		place += w * u.Coefficients[i]
	}
	last := math.Exp(place + u.Spread*u.Distribution.Standard(1-fewHold))
	last = math.Max(least, math.Min(last, most+mostBeyond*(most-least)))
	for i := range curveSteps + 1 {
		x := least + (last-least)*float64(i)/curveSteps
		line.X = append(line.X, x)
		line.Y = append(line.Y, 100*u.Distribution.Above((math.Log(x)-place)/u.Spread))
	}
	return line
}
