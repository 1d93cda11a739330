package groups

import (
	"math"
	"slices"

	"breakbook/frames/functions"
	limit "breakbook/models/limits"
	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// limitsOfFit works out a limit for each joint named, by what a fit expects of it and how
// specimens scatter about the fit.
func limitsOfFit(k *session.Call, cmd *phrase.Characteristic, of phrase.LimitsOfFit) (*session.Outcome, error) {
	o := limitOptions(cmd)
	f, err := fitted.Named(k, of.Fit)
	if err != nil {
		return nil, err
	}
	if o.Method, err = methodOfFit(f, of); err != nil {
		return nil, err
	}
	points, err := fitted.Points(k, f, of.Given)
	if err != nil {
		return nil, err
	}
	squares := f.Fit
	if f.Method.Blocks != nil { // the fit without them
		if squares, err = linear.Solve(k.Context, f.Response, f.Model()); err != nil {
			return nil, err
		}
	}
	b, err := blocksOfFit(k, f, squares, points[0], of, o)
	if err != nil {
		return nil, err
	}
	codes := b.codes(k.Context, f.Sample)
	t := &limitTeller{k: k, o: o, measure: f.Y.Measure(), name: f.Y.Medians().Name, unit: f.Y.Medians().Unit.String(),
		by: "inputs", blocks: b}
	for _, a := range points {
		w, _, err := f.ExpectedOf(k.Context, a, of.Given.At)
		if err != nil {
			return nil, err
		}
		l, err := limit.OfFit(k.Context, squares, w, codes, o)
		if err != nil {
			return nil, limitProblem(k, err, a.Text)
		}
		t.list = append(t.list, levelLimit{level: a.Text, called: a.Words, Limit: l})
	}
	if err := t.logNormalLimitsOfFit(f, points, codes, of); err != nil {
		return nil, err
	}
	k.Entry.Tables = t.tables("Characteristic " + f.Y.Medians().Name + " by " + of.Fit.Text)
	mains := t.limits()
	before := k.Entry.Cautions
	k.Entry.Cautions = nil
	k.Entry.Warn(slices.Concat(t.cautions(), before, fitted.OutsideSeen(k, f, of.Given))...)
	return session.Tested(f.Sample, f.Y, append(f.Known(), b.known()...),
		mains).Keeping(session.Result{Columns: f.Columns()}), nil
}

// methodOfFit is how the specimens of a fit are taken to scatter; a fit that cannot say how
// a new joint does is refused, with the line for one that can.
func methodOfFit(f *fitted.Fit, of phrase.LimitsOfFit) (limit.Method, error) {
	refused := &page.Problem{Code: page.CodeNoLimit, At: of.Fit.At}
	c := f.Command.Copy()
	fit, ok := c.Do.(*phrase.Fit)
	switch {
	case f.Method.Uneven:
		refused.Message = "the specimens of this fit scatter unevenly, so how one new joint does cannot be said"
	case f.Method.Resistant:
		refused.Message = "this fit plays specimens down that lie far off, so how one new joint scatters cannot be said"
	case f.Method.Differ != nil:
		refused.Message = "a limit needs series that were measured to differ, and these are given to"
	case len(f.Method.Blocks) > 1:
		refused.Message = "a limit allows for one column of blocks, and this fit has several"
	case f.Y.Logged():
		return limit.Lognormal, nil
	case f.Y.Function == "":
		return limit.Normal, nil
	default:
		refused.Code, refused.Message = "not-a-load",
			"a characteristic value is of "+f.Y.Column.Name+" itself or of its ln, not of "+f.Y.Name()
		if ok {
			fit.Y.Function = ""
		}
	}
	if ok {
		fit.UnevenSpread, fit.Resistant = false, false
		if fit.Blocks != nil && len(fit.Blocks.List) > 1 {
			fit.Blocks = &phrase.Blocks{List: fit.Blocks.List[:1]}
		}
		refused.Hint = session.WithoutName(c)
	}
	return limit.Normal, refused
}

// blocksOfFit is what the limits allow for: the fit's own blocks, else, of the columns of
// blocks that its terms leave something of, the one with the largest part in the scatter.
func blocksOfFit(k *session.Call, f *fitted.Fit, squares *linear.Fit, a fitted.GivenJoint, of phrase.LimitsOfFit,
	o limit.Options) (blocking, error) {
	if f.Method.Blocks != nil {
		return blocking{ref: &f.Method.Blocks[0]}, nil
	}
	w, _, err := f.ExpectedOf(k.Context, a, of.Given.At)
	if err != nil {
		return blocking{}, err
	}
	scatterOf := func(codes []int) (share, worth float64) {
		l, err := limit.OfFit(k.Context, squares, w, codes, o)
		if err != nil {
			return math.NaN(), 0
		}
		return l.Between, 0
	}
	known := append(f.Columns(), f.Y.Column.Name)
	return chooseBlocks(k, f.Sample, known, squares.Residuals, squares.DF, scatterOf), nil
}

// logNormalLimitsOfFit are the limits by the same fit of the logarithm, where the normal gives none.
func (t *limitTeller) logNormalLimitsOfFit(f *fitted.Fit, points []fitted.GivenJoint, codes []int,
	of phrase.LimitsOfFit) error {
	c := f.Command.Copy()
	fit, ok := c.Do.(*phrase.Fit)
	if !slices.ContainsFunc(t.list, levelLimit.misfits) || !ok || t.o.Method != limit.Normal {
		return nil
	}
	fit.Y.Function = functions.Ln
	logs, err := f.Sample.Number(f.Y.Column.Name)
	if err != nil {
		return err
	}
	y := make([]float64, len(logs))
	for i, x := range logs {
		if !(x > 0) {
			return nil
		}
		y[i] = math.Log(x)
	}
	squares, err := linear.Solve(t.k.Context, y, f.Model())
	if err != nil {
		return t.k.Context.Err()
	}
	o := t.o
	o.Method = limit.Lognormal
	again := t.k.Command.Copy()
	if cmd, ok := again.Do.(*phrase.Characteristic); ok {
		of.Fit = phrase.Name{} // the latest
		cmd.Subject = of
	}
	t.logged = session.WithoutName(c) + "; " + session.WithoutName(again)
	for i, a := range points {
		w, ok := squares.Weights(a.Point)
		if !ok || !t.list[i].misfits() {
			continue
		}
		if other, err := limit.OfFit(t.k.Context, squares, w, codes, o); err == nil && other.None == limit.Given {
			t.list[i].logNormal = &other
		}
	}
	return nil
}
