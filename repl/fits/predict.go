package fits

import (
	"math"

	"breakbook/models/linear"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// prediction is what the fit expects there: of the mean, and of one new specimen.
type prediction struct {
	session.Asked
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
	points, err := k.Points(f, cmd.Given)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	var all []prediction
	var rows []predictedRow
	t := page.Table{ID: "predicted", Title: page.Say("What " + cmd.Fit.Text + " expects of " + f.Y.Name()),
		Note: page.Say("low and high: ", page.Num{Value: conf, Style: page.Fraction},
			" interval of the mean; specimen low and high: the same for one new specimen. Columns not named are at "+
				"their mean, or averaged level by level.")}
	for _, a := range points {
		p, err := predicted(f, a, cmd.Given.At)
		if err != nil {
			return nil, err
		}
		all = append(all, p)
		lo, hi := session.IntervalOf(p.mean, conf)
		least, most := session.IntervalOf(p.specimen, conf)
		rows = append(rows, predictedRow{a.Text, p.mean.Value, lo, hi, least, most})
	}
	k.Entry.Tables = []page.Table{page.Filled(t, rows, page.Names{"y": f.Y.Unit()})}
	mains, err := tellPredictions(f, k, all, conf)
	if err != nil {
		return nil, err
	}
	k.Entry.Cautions = k.OutsideSeen(f, cmd.Given)
	return session.Answered(f.Sample, f.Y, f.Known(), mains).Keeping(session.Result{Columns: f.Columns()}), nil
}

func predicted(f *session.Fit, a session.Asked, at int) (prediction, error) {
	w, e, err := f.ExpectedOf(a, at)
	if err != nil {
		return prediction{}, err
	}
	one, _ := Specimen(f, w)
	return prediction{Asked: a, weights: w, mean: e, specimen: one}, nil
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
		others = []prediction{{Asked: session.Asked{Text: p.Text}, weights: w}}
	} else {
		others, than = all[1:], p.Text
	}
	gap, ok, err := clearest(f, k, p, others, conf, len(all) == 1)
	if err != nil || !ok {
		k.Entry.Findings = append(k.Entry.Findings, first)
		return nil, err
	}
	gap.Than = page.Say(than)
	told := gap.Sentence()
	k.Entry.Findings = append(k.Entry.Findings, told, first)
	return []session.Answer{{Key: p.Text, Gap: gap, Finding: told}}, nil
}

// expected tells one prediction: its mean and interval, and one new specimen's where the fit
// has it.
func expected(f *session.Fit, p prediction, conf float64) page.Sentence {
	u := f.Y.Unit()
	lo, hi := session.IntervalOf(p.mean, conf)
	s := page.Say("Expected " + f.Y.Expected() + " with " + p.Text + ": ")
	if math.IsNaN(lo) {
		return append(s, page.Say(page.Num{Value: p.mean.Value, Unit: u}, "; its interval cannot be computed.")...)
	}
	s = append(s, page.Say(page.Num{Value: p.mean.Value, Unit: u, Resolution: (hi - lo) / 2},
		" (", page.Num{Value: conf, Style: page.Fraction}, " interval ", page.Span{Low: lo, High: hi, Unit: u}, ")")...)
	least, most := session.IntervalOf(p.specimen, conf)
	switch {
	case math.IsNaN(least):
		return append(s,
			page.Word("; how far one new specimen may fall from it cannot be said, because the spread is uneven."))
	case f.Method.Blocks != nil:
		s = append(s, page.Word("; one new specimen of a new block: "))
	default:
		s = append(s, page.Word("; one new specimen: "))
	}
	return append(s, page.Say(page.Span{Low: least, High: most, Unit: u}, ".")...)
}

// clearest is the difference between p and the one of others that is clearest, the number
// of others allowed for; turned says that p is the higher-named one.
func clearest(f *session.Fit, k *session.Call, p prediction, others []prediction, conf float64,
	turned bool) (gap say.Gap, ok bool, err error) {
	w, err := k.WorthOf(base(f), f.Y.Unit(), f.Y.Logged())
	if err != nil {
		return gap, false, err
	}
	t := describer{f: f, k: k, conf: conf, worth: w, p: math.NaN()}
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
			gap.With = page.Say(o.Text)
			if len(others) > 1 {
				gap.Family = "adjusted for all the joints named"
			}
		}
	}
	gap.Answer = say.Overall(answers)
	return gap, ok, nil
}
