package kernel

import (
	"context"
	"errors"
	"math"
	"slices"
	"sort"

	"breakbook/frames"
	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// curveSteps is how many places a fitted curve is computed at.
const curveSteps = 120

// drawUntil shows the share still holding as the load rises, were one way of breaking the
// only one: steps by the product-limit estimate, and the fitted curve where one can be fitted.
func drawUntil(k *call, cmd *phrase.DrawUntil) (*outcome, error) {
	mode := cmd.Mode
	columns := []string{mode.Column.Column}
	var by phrase.ColumnRef
	grouped := cmd.A != nil
	var terms phrase.Terms
	if grouped {
		by = *cmd.A
		columns = append(columns, by.Column)
		terms = phrase.Terms{At: by.At, List: []phrase.Term{{Factors: []phrase.Factor{{Column: by, Power: 1, At: by.At}}, At: by.At}}}
	}
	s, r, err := k.measured(cmd.Y, columns...)
	if err != nil {
		return nil, err
	}
	u, err := k.oneModeIfAny(cmd, s, terms)
	if err != nil {
		return nil, err
	}
	is := mode.Column.Column + " is " + modeName(mode)
	title := r.axisLabel() + " until " + is
	c, _ := s.frame.Column(by.Column)
	if grouped {
		title += " by " + inSentence(c)
	}
	fig, err := k.picture(title, cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = r.axis(), page.Axis{Label: "Share still holding", Unit: "percent", FromZero: true}
	ended, err := where(s.frame, mode)
	if err != nil {
		return nil, err
	}
	groups := []group{{values: r.values, rows: allRows(len(r.values))}}
	if grouped {
		if groups, err = k.groups(s, r.values, by); err != nil {
			return nil, err
		}
		fig.KeyTitle = c.Label
	}
	least, most := extent(r.values)
	for _, g := range groups {
		look := page.NoLook
		if grouped {
			look = lookOf(c, g.level)
			fig.Keys = append(fig.Keys, page.Key{Label: g.level, Look: look})
		}
		fig.Layers = append(fig.Layers, steps(k.ctx, s.frame, g, ended, least, look)...)
	}
	specimens := "specimens, in steps"
	if slices.Contains(ended, false) {
		specimens += "; pale: ended another way"
	}
	fig.Keys = append(fig.Keys, page.Key{Label: specimens, Look: page.NoLook, Sample: page.SampleLine})
	var told []say.Carried
	if u != nil {
		if told, err = k.fittedCurves(u, &fig, least, most, c); err != nil {
			return nil, err
		}
	}
	fig.Alt = say.HoldingAlt(is, inSentence(r.column), r.unit(), by.Column, told, u != nil)
	return k.drawn(fig)
}

// oneModeIfAny fits one way of breaking for a figure of a sample; nil, with a caution, where too
// few broke so.
func (k *call) oneModeIfAny(cmd *phrase.DrawUntil, s *sample, terms phrase.Terms) (*oneMode, error) {
	counts := s.counts
	u, err := k.oneMode(cmd.Y, cmd.Mode, terms, cmd.Scatter)
	k.e.Specimens = &counts
	var p *page.Problem
	switch {
	case errors.As(err, &p) && p.Code == "too-few-breaks":
		k.e.Cautions = append(k.e.Cautions, page.Say("No curve is fitted: "+p.Message+"."))
		return nil, nil
	case err != nil:
		return nil, err
	}
	k.e.Cautions = append(k.e.Cautions, u.left...)
	return u, nil
}

// fittedCurves adds the fitted curve of every level of c, or of all specimens, and its key to a
// figure of loads from least to most.
func (k *call) fittedCurves(u *oneMode, fig *page.Figure, least, most float64, c frames.Column) ([]say.Carried, error) {
	all, err := u.strengths(k, k.confidence())
	if err != nil {
		return nil, err
	}
	for _, one := range all {
		look := page.NoLook
		if one.variable >= 0 {
			look = lookOf(c, u.place.model().Variables[one.variable].Levels[one.level])
		}
		fig.Layers = append(fig.Layers, u.holding(one, least, most, look))
	}
	fig.Keys = append(fig.Keys, page.Key{Label: "fitted, " + say.Proper(u.Distribution.Name()), Look: page.NoLook, Sample: page.SampleDashes})
	return carriedOf(all), nil
}

func allRows(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// steps is a product-limit curve in percent, from the least load drawn to the group's last, with
// every specimen on it; those that broke another way stand back.
func steps(ctx context.Context, f *frames.Frame, g group, ended []bool, least float64, look int) []page.Layer {
	mine := make([]bool, len(g.rows))
	for i, row := range g.rows {
		mine[i] = ended[row]
	}
	line := page.Line{X: []float64{least}, Y: []float64{100}, Look: look}
	at := 100.0
	curve := strength.ProductLimit(ctx, g.values, mine)
	for _, s := range curve {
		line.X, line.Y = append(line.X, s.Load, s.Load), append(line.Y, at, 100*s.Holds)
		at = 100 * s.Holds
	}
	_, last := extent(g.values)
	line.X, line.Y = append(line.X, last), append(line.Y, at)
	broke, cut := page.Points{}, page.Points{Faint: true}
	for i, load := range g.values {
		to := &cut
		if mine[i] {
			to = &broke
		}
		at := 100.0
		if k := sort.Search(len(curve), func(k int) bool { return curve[k].Load > load }); k > 0 {
			at = 100 * curve[k-1].Holds
		}
		to.X, to.Y, to.Looks = append(to.X, load), append(to.Y, at), append(to.Looks, look)
		to.Names = append(to.Names, f.SpecimenName(g.rows[i]))
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
