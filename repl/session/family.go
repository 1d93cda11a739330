package session

import (
	"context"
	"math"

	"breakbook/frames/functions"
	"breakbook/models/compare"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// unevenly is a plain fit with standard errors that do not assume equal spread; one that
// has them already is itself.
func (f *Fit) unevenly(ctx context.Context) (*Fit, error) {
	if f.Method.Uneven {
		return f, nil
	}
	if err := f.Plain("uneven spread"); err != nil {
		return nil, err
	}
	u, err := f.Fit.Uneven(ctx)
	if err != nil {
		return nil, err
	}
	out := *f
	out.Fit, out.Estimator, out.Method.Uneven = u.Fit, u, true
	return &out, nil
}

// Plain refuses a way of comparing for a fit that has a way of its own.
func (f *Fit) Plain(method string) error {
	own := ""
	switch {
	case f.Method.Blocks != nil:
		own = "blocked"
	case f.Method.Resistant:
		own = "resistant"
	case f.Method.Uneven:
		own = "one with uneven spread"
	default:
		return nil
	}
	return &page.Problem{Code: "two-ways", Message: "this fit is " + own + ": its levels cannot be compared " +
		method + " as well",
		Hint: "compare without " + method + ", or fit in the plain way first"}
}

// Family is the levels of one factor compared, and the words for it.
type Family struct {
	Response              *Response
	Measure, Unit, Factor string
	Names                 []string  // of the levels
	n                     []float64 // specimens, or blocks, per level
	Block                 string    // the column whose blocks are counted in place of specimens, or ""
	LevelUnit             string    // of levels that are numbers: thickness 44 mm
	Logged                bool      // the response is ln of the measure: differences are ratios
	Result                *compare.Result
	Conf                  float64
	Worth                 say.Worth
	Probability           float64 // the overall one, told with the lead; NaN: the difference's own
	Figure                bool    // the first of names is a figure that the others are compared with
	Against               bool    // each level is compared with one
	Within                string  // what specimens are reshuffled within: " within each value of board"
	// Compare compares by other means than the levels' Means: all pairs where ref is -1.
	Compare func(ref int, o compare.Options) (*compare.Result, error)
}

// AllPairs sets every level against every other.
func (f *Family) AllPairs(k *Call, m compare.Means, conf float64) error {
	return f.Run(k, m, -1, conf)
}

// Run compares all pairs, or, with ref of zero or more, each level with that one.
func (f *Family) Run(k *Call, m compare.Means, ref int, conf float64) (err error) {
	f.Conf = conf
	f.n = m.N
	if m.Blocks != nil {
		f.n = m.Blocks
	}
	w, err := k.WorthOf(f.Response)
	if err != nil {
		return err
	}
	f.Worth = w.Said
	o := compare.Options{Confidence: conf, Worth: w.Value}
	f.Against = ref >= 0
	if err := k.FewLevels(len(f.Names), f.Factor, f.Against); err != nil {
		return err
	}
	switch {
	case f.Compare != nil:
		f.Result, err = f.Compare(ref, o)
	case ref >= 0:
		f.Result, err = compare.Against(k.Context, m, ref, o)
	default:
		f.Result, err = compare.AllPairs(k.Context, m, o)
	}
	return err
}

// answer is the answer of the whole family.
func (f *Family) answer() verdict.Answer {
	all := make([]verdict.Answer, len(f.Result.Differences))
	for i, d := range f.Result.Differences {
		all[i] = d.Answer
	}
	return say.Overall(all)
}

// Largest is the difference that is clearest: the one furthest from zero for its error.
func (f *Family) Largest() compare.Difference {
	best := f.Result.Differences[0]
	for _, d := range f.Result.Differences[1:] {
		if d.Clear > best.Clear {
			best = d
		}
	}
	return best
}

// Lead is the family's main finding: its clearest difference with its answer; where that
// is no difference worth having, but another pair cannot be told, nor can the family.
func (f *Family) Lead() page.Sentence {
	d := f.Largest()
	answer := d.Answer
	enough := f.enough(d)
	if f.answer() == verdict.CannotTell {
		answer = verdict.CannotTell
		enough = f.enoughForAll()
	}
	g := f.gap(d, answer, enough)
	if !math.IsNaN(f.Probability) {
		g.Probability = f.Probability
	}
	return g.Sentence()
}

// Answers are the family's differences as answers to be compared with themselves in a
// rerun, the clearest first.
func (f *Family) Answers() []Answer {
	lead := f.Largest()
	var out []Answer
	for _, d := range f.Result.Differences {
		m := Answer{Key: f.key(d), Finding: f.Gap(d).Sentence(),
			Gap: say.Gap{Value: d.Diff, Range: verdict.Range{Low: d.Low, High: d.High}, Answer: d.Answer}}
		if f.Result.Method == compare.ByReshuffling { // no interval to show, but one to measure a move by
			m.Gap.Range = verdict.Range{Low: d.Diff - d.Critical*d.SE, High: d.Diff + d.Critical*d.SE}
		}
		if d.First == lead.First && d.Second == lead.Second {
			out = append([]Answer{m}, out...)
			continue
		}
		out = append(out, m)
	}
	return out
}

// key names a difference of the family.
func (f *Family) key(d compare.Difference) string {
	return f.Factor + ": " + f.Names[d.First] + ", " + f.Names[d.Second]
}

// enough is how many specimens, or blocks, per level would settle a difference, and how many the smaller of
// its two levels has.
func (f *Family) enough(d compare.Difference) say.Enough {
	e := say.Enough{N: d.Enough, InAll: f.Figure && f.Factor == "", Block: f.Block}
	if d.First < len(f.n) && d.Second < len(f.n) {
		e.Have = int(min(f.n[d.First], f.n[d.Second]))
	}
	return e
}

// enoughForAll is how many would settle every difference that cannot be told: what the hardest
// of them takes, which is out of reach where that of one is.
func (f *Family) enoughForAll() say.Enough {
	var hardest say.Enough
	for _, d := range f.Result.Differences {
		e := f.enough(d)
		switch {
		case d.Answer != verdict.CannotTell:
		case e.N == 0:
			return e
		case e.N > hardest.N:
			hardest = e
		}
	}
	return hardest
}

// Gap puts one difference and its answer into words, the larger level first.
func (f *Family) Gap(d compare.Difference) say.Gap { return f.gap(d, d.Answer, f.enough(d)) }

// gap is Gap with the answer, and what would settle it, of more than this difference.
func (f *Family) gap(d compare.Difference, answer verdict.Answer, enough say.Enough) say.Gap {
	g := say.Gap{Of: f.key(d), Measure: f.Measure, With: f.level(d.Second, true), Than: f.level(d.First, false),
		Value: d.Diff, Range: verdict.Range{Low: d.Low, High: d.High}, Unit: f.Unit, Confidence: f.Conf,
		Probability: d.P, Answer: answer, Worth: f.Worth, Enough: enough, Route: f.route(d)}
	if f.Figure {
		g.Figure = true
		if f.Factor == "" {
			g.With = nil
		}
	} else if d.Diff < 0 {
		g.With, g.Than = f.level(d.First, true), f.level(d.Second, false)
		g.Value = -d.Diff
		g.Range = verdict.Range{Low: -d.High, High: -d.Low}
	}
	if len(f.Result.Differences) > 1 {
		g.Family = "adjusted for comparing all pairs"
		if f.Against {
			g.Family = "adjusted for comparing all levels"
		}
	}
	if f.Logged {
		AsRatio(&g)
	}
	return g
}

// route says how a difference without an interval was judged.
func (f *Family) route(d compare.Difference) string {
	switch f.Result.Method {
	case compare.ByReshuffling:
		return "by reshuffling"
	case compare.ByRanks:
		if math.IsInf(d.Low, 0) && math.IsInf(d.High, 0) {
			return "by ranks; too few specimens for an interval"
		}
	}
	return ""
}

func (f *Family) level(i int, withFactor bool) page.Sentence {
	name := f.Names[i]
	if f.Figure && i == 0 {
		return page.Say(name)
	}
	if f.LevelUnit != "" {
		name += " " + f.LevelUnit
	}
	if withFactor && f.Factor != "" {
		name = f.Factor + " " + name
	}
	return page.Say(name)
}

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
		if r.Logged() {
			return Smallest{}, nil // an amount is no ratio
		}
		v, err := k.WorthIn(w, unit)
		return Smallest{v, say.Worth{Value: v, Unit: unit}}, err
	case r.Logged():
		return Smallest{math.Log1p(w.Share), say.Worth{Value: w.Share, Style: page.Fraction}}, nil
	}
	if mean := k.MeanOfSeries(r); mean > 0 && !NoRatio(r.Column) {
		v := w.Share * mean
		return Smallest{v, say.Worth{Value: v, Unit: unit}}, nil
	}
	return Smallest{}, nil
}

// MeanOfSeries is the mean of a response over the specimens of its series that are not set
// aside; NaN where there is none.
func (k *Call) MeanOfSeries(r *Response) float64 {
	s := k.Session
	if k.Judged != nil {
		s = k.Judged
	}
	f, ok := s.Frame(k.Entry.Series)
	if !ok {
		return math.NaN()
	}
	values, err := f.Numbers(r.Column.Name)
	if err != nil {
		return math.NaN()
	}
	of, _ := functions.Named(r.Function)
	sum, n := 0.0, 0
	for row, x := range values {
		parallel.LookAt(k.Context, row)
		if _, aside := f.Aside(row); aside || math.IsNaN(x) {
			continue
		}
		if y := of(x); !math.IsNaN(y) && !math.IsInf(y, 0) {
			sum, n = sum+y, n+1
		}
	}
	return sum / float64(n)
}
