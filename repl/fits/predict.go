package fits

import (
	"context"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/place"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// prediction is what the fit expects there: of the mean, and of one new specimen.
type prediction struct {
	fitted.GivenJoint
	weights        []float64
	mean, specimen expectation
}

// expectation is an estimate, and what is known of it where the place of a change is left open; nil: there is none.
type expectation struct {
	linear.Estimate
	open place.Mixture
}

func (e expectation) interval(conf float64) (low, high float64) {
	if e.open != nil {
		return e.open.Interval(conf)
	}
	return session.IntervalOf(e.Estimate, conf)
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

// predictedMedian is the same of a fit of logarithms, taken back from them.
type predictedMedian struct {
	Inputs       string  `id:"inputs"`
	Median       float64 `id:"median" unit:"{y}"`
	Low          float64 `id:"low" unit:"{y}"`
	High         float64 `id:"high" unit:"{y}"`
	SpecimenLow  float64 `id:"specimen_low" unit:"{y}"`
	SpecimenHigh float64 `id:"specimen_high" unit:"{y}"`
}

// Predict tells what a fit expects for the joints named.
func Predict(k *session.Call, cmd *phrase.Predict) (*session.Outcome, error) {
	f, err := fitted.Open(k, cmd.Fit)
	if err != nil {
		return nil, err
	}
	asked, err := fitted.Points(k, f, cmd.Given)
	if err != nil {
		return nil, err
	}
	partners, err := fitted.PartnersLeft(k, f, asked[0].Point, k.Confidence(), cmd.Over)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	var all []prediction
	var rows []predictedRow
	var medians []predictedMedian
	open, err := f.Places(k.Context)
	if err != nil {
		return nil, err
	}
	var openPlace page.Sentence
	if open != nil {
		openPlace = page.Say(" Intervals leave the place of " + f.Change.Name + " open.")
	}
	note := func(of string) page.Sentence {
		return page.Say("low and high: ", page.Share(conf), " interval of the "+of+"; specimen low and high: the same "+
			"for one new specimen. Columns not named are at their mean, or averaged level by level",
			partners.Title()+".", openPlace)
	}
	for alike := range slices.Chunk(partners.Points(asked), len(asked)) {
		some, problem := predicted(k.Context, f, open, alike, cmd.Given.At)
		if problem != nil {
			err = problem
		}
		all = append(all, some...)
	}
	if len(all) == 0 {
		return nil, err
	}
	if err != nil { // in one setting of several
		k.Entry.Warn(page.Say(say.Capital(err.Error()) + "."))
	}
	for _, p := range all {
		lo, hi := p.mean.interval(conf)
		least, most := p.specimen.interval(conf)
		rows = append(rows, predictedRow{p.Text, p.mean.Value, lo, hi, least, most})
		medians = append(medians, predictedMedian{p.Text, f.Y.Level(p.mean.Value), f.Y.Level(lo), f.Y.Level(hi),
			f.Y.Level(least), f.Y.Level(most)})
	}
	what := "What " + cmd.Fit.Text + " expects of "
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "predicted", Title: page.Say(what + f.Y.Name()),
		Note: note("mean")}, rows, page.Names{"y": f.Y.Unit()})}
	if f.Y.Logged() { // which a screen shows first
		k.Entry.Tables = slices.Insert(k.Entry.Tables, 0, page.Filled(page.Table{ID: "medians",
			Title: page.Say(what + f.Y.Medians().Name), Note: note("median")}, medians,
			page.Names{"y": f.Y.LevelUnit()}))
	}
	var mains []session.Answer
	for alike := range slices.Chunk(all, len(asked)) {
		one, err := tellPredictions(f, k, alike, conf, len(all)/len(asked))
		if err != nil {
			return nil, err
		}
		mains = append(mains, one...)
	}
	if open != nil && len(asked) > 1 {
		k.Entry.Warn(f.FixedPlaceNote("the differences between joints"))
	}
	k.Entry.Doubts = gaps(f, all)
	return session.Tested(f.Sample, f.Y, f.Known(), mains).Keeping(session.Result{Columns: f.Columns()}), nil
}

// predicted are the predictions of several joints; none and an error where one cannot be told.
func predicted(ctx context.Context, f *fitted.Fit, open *place.Open, asked []fitted.GivenJoint, at int) ([]prediction,
	error) {
	var out []prediction
	for _, a := range asked {
		w, e, err := f.ExpectedOf(ctx, a, at)
		if err != nil {
			return nil, err
		}
		one, _ := f.Estimator.Specimen(ctx, w)
		p := prediction{GivenJoint: a, weights: w, mean: expectation{Estimate: e}, specimen: expectation{Estimate: one}}
		if open != nil {
			p.mean.open, p.specimen.open, _ = open.Expected(ctx, a.Point)
		}
		out = append(out, p)
	}
	return out, nil
}

// tellPredictions begins with what the first joint would carry; where several are named, the one
// that differs from it most clearly follows, adjusted for as many settings as are told so. Alone it is
// compared with nothing. What is expected of the first is an answer as well, by its interval.
func tellPredictions(f *fitted.Fit, k *session.Call, all []prediction, conf float64,
	settings int) ([]session.Answer, error) {
	p := all[0]
	first := expected(f, p, conf)
	k.Entry.Find(first)
	lo, hi := p.mean.interval(conf)
	load := f.Y.Column.Role == frames.Load && !f.Y.Logged()
	k.Entry.Warn(page.If(load && p.mean.Value < 0, "A "+f.Y.Measure()+
		" below nothing cannot be: so far out the fit no longer holds."), page.If(load && !(p.mean.Value < 0) && lo < 0,
		"The interval reaches below nothing, where no "+f.Y.Measure()+" can be: take its lower end as zero."))
	alone := session.Answer{Key: p.Text, Finding: first,
		Gap: say.Gap{Value: p.mean.Value, Range: verdict.Range{Low: lo, High: hi}, Alone: true}}
	if len(all) == 1 {
		return []session.Answer{alone}, nil
	}
	gap, ok, err := clearest(f, k, p, all[1:], conf, settings)
	if err != nil {
		return nil, err
	}
	if !ok { // of terms that meet every value: there is no scatter to judge a difference by
		for _, other := range all[1:] {
			if other.Text != p.Text {
				k.Entry.Find(expected(f, other, conf))
			}
		}
		return nil, nil
	}
	gap.Than, gap.Of = p.Words, p.Text
	finding := gap.Sentence()
	k.Entry.Find(finding)
	alone.Key = "expected " + p.Text
	return []session.Answer{{Key: p.Text, Gap: gap, Finding: finding}, alone}, nil
}

// expected tells one prediction: its mean and interval, and one new specimen's where the fit
// has it.
func expected(f *fitted.Fit, p prediction, conf float64) page.Sentence {
	u := f.Y.LevelUnit()
	lo, hi := p.mean.interval(conf)
	mean, lo, hi := f.Y.Level(p.mean.Value), f.Y.Level(lo), f.Y.Level(hi)
	s := page.Say("Expected "+f.Y.LevelSaid()+" with ", p.Words, ": ")
	if math.IsNaN(lo) {
		return page.Say(s, page.In(mean, u), "; its interval cannot be computed.")
	}
	s = page.Say(s, page.Num{Value: mean, Unit: u, Resolution: (hi - lo) / 2},
		" (", page.Share(conf), " interval ", page.Span{Low: lo, High: hi, Unit: u}, ")")
	least, most := p.specimen.interval(conf)
	switch {
	case math.IsNaN(least):
		return append(s,
			page.Word("; how far one new specimen may fall from it cannot be said, because the spread is uneven."))
	case f.Method.Blocks != nil:
		s = append(s, page.Word("; one new specimen of a new block: "))
	default:
		s = append(s, page.Word("; one new specimen: "))
	}
	return page.Say(s, page.Span{Low: f.Y.Level(least), High: f.Y.Level(most), Unit: u}, ".")
}

// clearest is the difference between p and the one of others that is clearest, the number
// of others, and of the settings told alike, allowed for.
func clearest(f *fitted.Fit, k *session.Call, p prediction, others []prediction,
	conf float64, settings int) (gap say.Gap, ok bool, err error) {
	w, err := k.WorthOf(f.Y)
	if err != nil {
		return gap, false, err
	}
	t := describer{f: f, k: k, conf: conf, worth: w, p: math.NaN()}
	var answers []verdict.Answer
	best := 0.0
	for _, o := range others {
		d := lists.Made(len(p.weights), func(i int) float64 { return o.weights[i] - p.weights[i] })
		g, e, can := t.gap(d, settings*len(others))
		if !can {
			continue
		}
		answers = append(answers, g.Answer)
		if clear := math.Abs(e.Value) / e.SE; !ok || clear > best {
			best, gap, ok = clear, g, true
			gap.With = o.Words
			if settings*len(others) > 1 {
				gap.Family = "adjusted for all the joints named"
			}
		}
	}
	gap.Answer = say.Overall(answers)
	return gap, ok, nil
}

// gaps doubt predictions where no specimen is near: outside the range seen, in an empty stretch of
// over a third of it, or at a combination further out than any specimen's (leverage above the
// largest in the series).
func gaps(f *fitted.Fit, all []prediction) []page.Doubt {
	var out []page.Doubt
	hold := func(p prediction, about string, text page.Sentence) {
		out = append(out, page.Doubt{Code: "gap", About: about, Of: []string{p.Text}, Text: text})
	}
	furthest := 0.0
	for _, h := range f.Leverage {
		furthest = max(furthest, h)
	}
	for _, p := range all {
		before := len(out)
		for variable, m := range f.Model().Variables {
			x, given := p.Point.Numbers[variable]
			if !given || m.IsCategory() {
				continue
			}
			low, high, inside := around(m.Numbers, x)
			ends := page.Span{Low: low, High: high, Unit: m.Unit}
			switch {
			case !inside:
				hold(p, m.Name, page.Say(p.Words, " lies outside what was seen (", ends,
					"): nothing was broken there, so the line is only a guess."))
			case !math.IsNaN(low):
				hold(p, m.Name, page.Say("no specimen has "+m.Name+" between the two ends of this gap (", ends,
					"), so in it the line is only a guess."))
			}
		}
		if r := p.mean.SE / f.Sigma; len(out) == before && f.Plain("") == nil && f.Method.Weight.Column == "" &&
			r*r > furthest*(1+1e-9) {
			hold(p, p.Text, page.Say("no specimen was anywhere near ", p.Words, ": each value was seen, but never "+
				"such a combination of them."))
		}
	}
	return out
}

// around are the ends of what was seen where x lies outside it, the values next to x where it lies in
// an empty stretch of over a third of the range, NaN elsewhere.
func around(numbers []float64, x float64) (low, high float64, inside bool) {
	first, last := math.Inf(1), math.Inf(-1)
	below, above := last, first // the values next to x
	for _, v := range numbers {
		first, last = min(first, v), max(last, v)
		switch {
		case v == x:
			return math.NaN(), math.NaN(), true
		case v < x:
			below = max(below, v)
		case v > x:
			above = min(above, v)
		}
	}
	switch {
	case x < first || x > last:
		return first, last, false
	case above-below > (last-first)/3:
		return below, above, true
	}
	return math.NaN(), math.NaN(), true
}
