package pictures

import (
	"context"
	"slices"

	"breakbook/frames"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/place"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// lineSteps is how many places a fitted line is computed at.
const lineSteps = 60

// fitLines are the lines of a fit against one of its number columns, with the range of the mean, how many
// specimens the fit has, and what line and range make of a place that was found: one a level where the figure
// and the fit share a category, else one.
func fitLines(k *session.Call, fit *phrase.Name, r *session.Response, x frames.Column, by string,
	levels []string) (layers []page.Layer, n int, turn page.Sentence, err error) {
	if fit == nil {
		return nil, 0, nil, nil
	}
	counts, series := k.Entry.Specimens, k.Entry.Series
	f, err := fitted.Open(k, *fit)
	k.Entry.Specimens, k.Entry.Series = counts, series
	if err != nil {
		return nil, 0, nil, err
	}
	at := fit.At
	if f.Y.Name() != r.Name() {
		return nil, 0, nil, page.Refuse(page.CodeOtherResponse, at, "that fit explains "+f.Y.Name()+", not "+r.Name(),
			"")
	}
	variable := slices.Index(f.Columns(), x.Name)
	if variable < 0 || f.Model().Variables[variable].IsCategory() {
		return nil, 0, nil, page.Refuse(page.CodeNotInFit, at,
			x.Name+" is not among the number columns of that fit, so it has no line along it", "")
	}
	open, err := f.Places(k.Context)
	if err != nil {
		return nil, 0, nil, err
	}
	if open != nil {
		turn = f.TurnNote()
	}
	category := slices.Index(f.Columns(), by)
	if category < 0 {
		line, band, ok := along(k.Context, f, open, variable, -1, 0, k.Confidence())
		if !ok {
			return nil, 0, nil, page.Refuse(page.CodeNotEstimable, at, "that fit has no line along "+x.Name+
				": some combinations of levels have no specimen", "")
		}
		return []page.Layer{band, line}, f.N, turn, nil
	}
	c, _ := f.Sample.Frame.Column(by)
	var bands, lines []page.Layer
	for _, level := range levels {
		l := slices.Index(f.Model().Variables[category].Levels, level)
		line, band, ok := along(k.Context, f, open, variable, category, l, k.Confidence())
		if !ok {
			continue
		}
		line.Look, band.Look = session.LookOf(c, level), session.LookOf(c, level)
		bands, lines = append(bands, band), append(lines, line)
	}
	return append(bands, lines...), f.N, turn, nil
}

// along computes the expected value and its range over the values seen of a number
// column, at one level of a category (category -1: averaged). The range leaves the place of a change open.
func along(ctx context.Context, f *fitted.Fit, open *place.Open, variable, category, level int,
	conf float64) (page.Line, page.Band, bool) {
	lo, hi := seen(ctx, f, variable, category, level)
	line, band := page.Line{Look: page.NoLook}, page.Band{Look: page.NoLook}
	for _, x := range stepsAlong(lo, hi, f.Breakpoints(variable)) {
		p := linear.Point{Numbers: map[int]float64{variable: x}}
		if category >= 0 {
			p.Levels = map[int]int{category: level}
		}
		w, ok := f.Weights(p)
		if !ok {
			return line, band, false
		}
		e, ok := f.Combination(ctx, w)
		if !ok {
			return line, band, false
		}
		low, high := session.IntervalOf(e, conf)
		if open != nil {
			mean, _, can := open.Expected(ctx, p)
			if !can {
				return line, band, false
			}
			low, high = mean.Interval(conf)
		}
		line.X, line.Y = append(line.X, x), append(line.Y, e.Value)
		band.X, band.Low, band.High = append(band.X, x), append(band.Low, low), append(band.High, high)
	}
	return line, band, true
}

// stepsAlong are the places a line is computed at, with those it turns at.
func stepsAlong(lo, hi float64, turns []float64) []float64 {
	out := lists.Made(lineSteps+1, func(i int) float64 { return lo + (hi-lo)*float64(i)/lineSteps })
	for _, x := range turns {
		if x > lo && x < hi {
			out = append(out, x)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// seen is the range of a number column among the specimens of one level.
func seen(ctx context.Context, f *fitted.Fit, variable, category, level int) (lo, hi float64) {
	v := f.Model().Variables[variable].Numbers
	if category < 0 {
		return session.MinMax(v)
	}
	var some []float64
	for i, c := range f.Model().Variables[category].Codes {
		parallel.LookAt(ctx, i)
		if c == level {
			some = append(some, v[i])
		}
	}
	if len(some) == 0 {
		return session.MinMax(v)
	}
	return session.MinMax(some)
}
