package fits

import (
	"context"
	"math"
	"slices"
	"strconv"

	"breakbook/frames/units"
	"breakbook/models/linear"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// asked is one specimen a prediction is wanted for.
type asked struct {
	text  string
	point linear.Point
}

// prediction is what the fit expects there: of the mean, and of one new specimen.
type prediction struct {
	asked
	weights        []float64
	mean, specimen linear.Estimate
}

// predictedRow is what a fit expects of one joint.
type predictedRow struct {
	Inputs       string  `id:"inputs"`
	Mean         float64 `id:"mean" unit:"{y}"`
	Low          float64 `id:"low" unit:"{y}"`
	High         float64 `id:"high" unit:"{y}"`
	SpecimenLow  float64 `id:"specimen_low" unit:"{y}"`
	SpecimenHigh float64 `id:"specimen_high" unit:"{y}"`
}

// Predict tells what a fit expects for the joints named.
func Predict(k *session.Call, cmd *phrase.Predict) (*session.Outcome, error) {
	f, err := k.FitNamed(cmd.Fit)
	if err != nil {
		return nil, err
	}
	points, err := points(k, f, cmd.Given)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	var all []prediction
	var rows []predictedRow
	t := page.Table{ID: "predicted", Title: page.Say("What " + cmd.Fit.Text + " expects of " + f.Y.Name()),
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction},
			" interval of the mean; specimen low and high: the same for one new specimen. Columns not named are at their mean, or averaged level by level.")}
	for _, a := range points {
		p, err := predicted(k.Context, f, a, cmd.Given.At)
		if err != nil {
			return nil, err
		}
		all = append(all, p)
		lo, hi := session.IntervalOf(p.mean, conf)
		least, most := session.IntervalOf(p.specimen, conf)
		rows = append(rows, predictedRow{a.text, p.mean.Value, lo, hi, least, most})
	}
	k.Entry.Tables = []page.Table{page.Filled(t, rows, page.Names{"y": f.Y.Unit()})}
	mains, err := tellPredictions(f, k, all, conf)
	if err != nil {
		return nil, err
	}
	k.Entry.Cautions = outsideSeen(k, f, cmd.Given)
	return session.Answered(f.Sample, f.Y, f.Known(), mains).Keeping(session.Result{Columns: f.Columns()}), nil
}

func predicted(ctx context.Context, f *session.Fit, a asked, at int) (prediction, error) {
	w, ok := f.Weights(a.point)
	var e linear.Estimate
	if ok {
		e, ok = f.Combination(ctx, w)
	}
	if !ok {
		why := "no specimens combine these levels"
		if len(a.point.Numbers) > 0 {
			why = "it separates columns that always changed together in these specimens"
		}
		return prediction{}, &page.Problem{Code: "not-estimable", At: at,
			Message: "the fit cannot tell what to expect of " + a.text + ": " + why}
	}
	one, _ := Specimen(ctx, f, w)
	return prediction{asked: a, weights: w, mean: e, specimen: one}, nil
}

// points is the grid of everything asked for.
func points(k *session.Call, f *session.Fit, given phrase.Given) ([]asked, error) {
	out := []asked{{point: linear.Point{Numbers: map[int]float64{}, Levels: map[int]int{}}}}
	if err := session.FewPredictions(given); err != nil {
		return nil, err
	}
	for _, item := range given.List {
		variable := slices.Index(f.Columns(), item.Column.Column)
		if variable < 0 {
			return nil, &page.Problem{Code: "not-in-fit", At: item.At, Message: item.Column.Column + " is not a term of this fit",
				Hint: "give one of: " + session.Listed(session.SpelledAll(f.Columns()))}
		}
		if isGiven(f, out[0].point, variable) {
			return nil, &page.Problem{Code: "given-twice", At: item.At, Message: item.Column.Column + " is given twice", Hint: "several values go with or"}
		}
		var grid []asked
		for _, a := range out {
			for _, v := range item.Values {
				b, err := with(k, f, a, variable, v)
				if err != nil {
					return nil, err
				}
				grid = append(grid, b)
			}
		}
		out = grid
	}
	return out, nil
}

func isGiven(f *session.Fit, p linear.Point, variable int) bool {
	_, number := p.Numbers[variable]
	_, level := p.Levels[variable]
	return number || level
}

// with is a point with one more variable given.
func with(k *session.Call, f *session.Fit, a asked, variable int, v phrase.Value) (asked, error) {
	b := asked{point: linear.Point{Numbers: map[int]float64{}, Levels: map[int]int{}}}
	for i, x := range a.point.Numbers {
		b.point.Numbers[i] = x
	}
	for i, l := range a.point.Levels {
		b.point.Levels[i] = l
	}
	m := f.Model().Variables[variable]
	said := v.Text
	if m.IsCategory() {
		l := slices.Index(m.Levels, v.Text)
		if l < 0 || !slices.Contains(m.Codes, l) {
			return b, &page.Problem{Code: "unknown-level", At: v.At, Message: "no specimen of this fit has " + m.Name + " " + v.Text,
				Hint: "its levels are " + session.Listed(session.SpelledAll(m.Levels))}
		}
		b.point.Levels[variable] = l
	} else {
		if v.Amount == nil {
			return b, &page.Problem{Code: "expected-number", At: v.At, Message: m.Name + " needs a number, not " + v.Text}
		}
		from, err := session.UnitOf(*v.Amount)
		if err != nil {
			return b, err
		}
		x := session.TypedValue(*v.Amount)
		said = strconv.FormatFloat(x, 'g', -1, 64)
		if to, ok := units.Parse(m.Unit); ok && !from.None() {
			if x, err = units.Convert(x, from, to); err != nil {
				return b, session.WithPlace(err, v.At)
			}
			said += " " + from.String()
		} else if m.Unit != "" {
			said += " " + m.Unit
		}
		b.point.Numbers[variable] = x
	}
	b.text = m.Name + " " + said
	if a.text != "" {
		b.text = a.text + ", " + b.text
	}
	return b, nil
}

// tellPredictions tells the first joint's expected load, and how the clearest other joint
// differs from it; a joint asked for alone is compared with the average specimen of the fit.
func tellPredictions(f *session.Fit, k *session.Call, all []prediction, conf float64) ([]session.Answer, error) {
	p := all[0]
	first := expected(f, p, conf)
	than := "the average specimen of the fit"
	var others []prediction
	if len(all) == 1 {
		w, ok := f.Weights(linear.Point{})
		if !ok {
			k.Entry.Findings = append(k.Entry.Findings, first)
			return nil, nil
		}
		others = []prediction{{asked: asked{text: p.text}, weights: w}}
	} else {
		others, than = all[1:], p.text
	}
	gap, ok, err := clearest(f, k, p, others, conf, len(all) == 1)
	if err != nil || !ok {
		k.Entry.Findings = append(k.Entry.Findings, first)
		return nil, err
	}
	gap.Than = page.Say(than)
	told := gap.Sentence()
	k.Entry.Findings = append(k.Entry.Findings, told, first)
	return []session.Answer{{Key: p.text, Gap: gap, Told: told}}, nil
}

// expected tells one prediction: its mean and interval, and one new specimen's where the fit
// has it.
func expected(f *session.Fit, p prediction, conf float64) page.Sentence {
	u := f.Y.Unit()
	lo, hi := session.IntervalOf(p.mean, conf)
	s := page.Say("Expected " + f.Y.Expected() + " with " + p.text + ": ")
	if math.IsNaN(lo) {
		return append(s, page.Say(page.Num{Value: p.mean.Value, Unit: u}, "; its interval cannot be computed.")...)
	}
	s = append(s, page.Say(page.Num{Value: p.mean.Value, Unit: u, Resolution: (hi - lo) / 2},
		" (", page.Num{Value: conf, Style: page.Fraction}, " interval ", page.Span{Low: lo, High: hi, Unit: u}, ")")...)
	least, most := session.IntervalOf(p.specimen, conf)
	switch {
	case math.IsNaN(least):
		return append(s, page.Word("; how far one new specimen may fall from it cannot be said, because the spread is uneven."))
	case f.Method.Blocks != nil:
		s = append(s, page.Word("; one new specimen of a new block: "))
	default:
		s = append(s, page.Word("; one new specimen: "))
	}
	return append(s, page.Say(page.Span{Low: least, High: most, Unit: u}, ".")...)
}

// clearest is the difference between p and the one of others that is clearest, the number
// of others allowed for; turned says that p is the higher-named one.
func clearest(f *session.Fit, k *session.Call, p prediction, others []prediction, conf float64, turned bool) (gap say.Gap, ok bool, err error) {
	w, err := k.WorthOf(base(f), f.Y.Unit(), f.Y.Logged())
	if err != nil {
		return gap, false, err
	}
	t := teller{f: f, k: k, conf: conf, worth: w, p: math.NaN()}
	var answers []verdict.Answer
	best := 0.0
	for _, o := range others {
		d := make([]float64, len(p.weights))
		for i := range d {
			d[i] = o.weights[i] - p.weights[i]
			if turned {
				d[i] = -d[i]
			}
		}
		g, e, can := t.gap(d, len(others))
		if !can {
			continue
		}
		answers = append(answers, g.Answer)
		if clear := math.Abs(e.Value) / e.SE; !ok || clear > best {
			best, gap, ok = clear, g, true
			gap.With = page.Say(o.text)
			if len(others) > 1 {
				gap.Family = "adjusted for all the joints named"
			}
		}
	}
	gap.Answer = say.Overall(answers)
	return gap, ok, nil
}

// outsideSeen warns where a number asked for lies outside those the fit saw.
func outsideSeen(k *session.Call, f *session.Fit, given phrase.Given) []page.Sentence {
	var out []page.Sentence
	for _, item := range given.List {
		variable := slices.Index(f.Columns(), item.Column.Column)
		m := f.Model().Variables[variable]
		if m.IsCategory() {
			continue
		}
		lo, hi := session.MinMax(m.Numbers)
		for _, v := range item.Values {
			a, err := with(k, f, asked{}, variable, v)
			if err != nil {
				continue
			}
			if x := a.point.Numbers[variable]; x < lo || x > hi {
				out = append(out, page.Say(a.text+" lies outside what was seen (", page.Span{Low: lo, High: hi, Unit: m.Unit},
					"): nothing was broken there, so the line is only a guess."))
			}
		}
	}
	return out
}
