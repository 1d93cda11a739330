package failing

import (
	"context"
	"errors"
	"math"
	"slices"

	"breakbook/models/lists"
	"breakbook/models/plan"
	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// fewestToPlan is the number of breaks of the mode under which a level is left out, as the fit does.
const fewestToPlan = 3

// Breaks is what a plan of the strength of one failure mode is calculated from.
type Breaks struct {
	Pilot
	Mode     phrase.Is
	Model    plan.Breaks
	ceiling  float64 // the load that the strength takes for a lower bound where specimens stand at it; 0: none
	ended    []bool
	censored int // specimens whose test ended otherwise
}

// ReadBreaks fits the earlier strength anew and reads the levels, and what else ends the tests.
func ReadBreaks(k *session.Call, of phrase.PlanMeans) (*Breaks, error) {
	sub, c, err := earlier(k, *of.Fit)
	if err != nil {
		return nil, err
	}
	fit, ok := c.Do.(*phrase.Until)
	if !ok {
		return nil, page.Refuse(page.CodeWrongKind, of.Fit.At, of.Fit.Text+" is not a strength", "")
	}
	known, _ := k.Session.Result(of.Fit.Text)
	b := &Breaks{Pilot: Pilot{Name: of.Fit.Text}, Mode: fit.Mode, ceiling: known.Ceiling}
	if of.Y.Column.Column != fit.Y.Column.Column || of.Y.Function != "" {
		return nil, page.Refuse(page.CodeOtherResponse, of.Y.At, b.Name+" is about "+fit.Y.Column.Column,
			"plan "+phrase.Spelled(fit.Y.Column.Column)+" by "+phrase.Spelled(of.A.Column)+" of "+b.Name)
	}
	var terms phrase.Terms
	if fit.Terms != nil {
		terms = *fit.Terms
	}
	f := session.FormulaOf(terms)
	if b.Columns = f.Columns; !slices.Contains(f.Columns, of.A.Column) {
		return nil, page.Refuse(page.CodeNotInFit, of.A.At, of.A.Column+" is not in "+b.Name,
			"plan of a strength with "+of.A.Column+" among its terms")
	}
	s, r, err := sub.Measured(fit.Y, append(slices.Clone(f.Columns), fit.Mode.Column.Column)...)
	if err != nil {
		return nil, err
	}
	if r, err = b.enough(k, sub, s, r, of); err != nil {
		return nil, err
	}
	k.Entry.Specimens, k.Taken = new(s.Counts), s
	b.Sample, b.Response = s, r
	if b.Model.Level, err = b.levels(k, of.A); err != nil {
		return nil, err
	}
	b.Model.Levels = len(b.Named)
	return b, b.fit(k, f, fit.Scatter, of)
}

// failed are the specimens that failed so under the ceiling of the strength, if it has one.
func (b *Breaks) failed(k *session.Call, s *session.Sample, r *session.Response) ([]bool, error) {
	ended, err := session.Where(k.Context, s.Frame, b.Mode)
	for row := range ended {
		ended[row] = ended[row] && (b.ceiling == 0 || r.Values[row] < b.ceiling)
	}
	return ended, err
}

// enough leaves out the levels of the factor at which hardly any specimen failed so, as the fit does.
func (b *Breaks) enough(k, sub *session.Call, s *session.Sample, r *session.Response,
	of phrase.PlanMeans) (*session.Response, error) {
	ended, err := b.failed(k, s, r)
	if err != nil {
		return nil, err
	}
	codes, err := s.Frame.Codes(k.Context, of.A.Column)
	if err != nil {
		return nil, session.WithPlace(err, of.A.At)
	}
	breaks := map[int]int{}
	for i, c := range codes {
		if ended[i] {
			breaks[c]++
		}
	}
	keep := lists.Mapped(codes, func(c int) bool { return breaks[c] >= fewestToPlan })
	if slices.Contains(keep, false) {
		s.Only(k.Context, keep)
		if r, err = sub.ReadResponse(s, phrase.Response{Column: phrase.ColumnRef{Column: r.Column.Name}}); err != nil {
			return nil, err
		}
		if ended, err = b.failed(k, s, r); err != nil {
			return nil, err
		}
	}
	b.ended = ended
	for _, is := range ended {
		if !is {
			b.censored++
		}
	}
	return r, nil
}

// fit fits the strength of the mode, and beside it that of whatever else ends a test, and takes their places apart.
func (b *Breaks) fit(k *session.Call, f session.Formula, scatter phrase.Scatter, of phrase.PlanMeans) error {
	logs := lists.Mapped(b.Response.Values, math.Log)
	columns, levels, others, err := b.laidOut(k, logs, f, of.A, func() error {
		return page.Refuse(page.CodeCombined, of.A.At, "in "+b.Name+" "+of.A.Column+
			" is combined with another term, so its levels have no one strength to plan for",
			"plan of a strength without the combined term")
	})
	if err != nil {
		return err
	}
	data := strength.Sample{Load: b.Response.Values, Ended: b.ended, Columns: columns}
	if scatter.Lognormal {
		b.Model.Distribution = strength.Lognormal
	}
	fit, err := strength.Solve(k.Context, data, b.Model.Distribution)
	if err != nil {
		return b.unfit(of.Fit.At)
	}
	b.Model.Spread, b.Model.Effect = fit.Spread, make([]float64, b.Model.Levels)
	b.Model.Place, b.Model.Others = places(fit, columns), picked(columns, others)
	b.splitEffects(fit, columns, levels, b.Model.Place, b.Model.Effect)
	return b.fitCensoring(k, data, levels)
}

// splitEffects takes the effects of the levels out of the places of a fit.
func (b *Breaks) splitEffects(fit *strength.Fit, columns [][]float64, levels []int, place, effect []float64) {
	for i, l := range b.Model.Level {
		sum := 0.0
		for _, j := range levels {
			sum += fit.Coefficients[j] * columns[j][i]
		}
		effect[l] = sum
		place[i] -= sum
	}
}

// places are the linear values of a fit.
func places(fit *strength.Fit, columns [][]float64) []float64 {
	out := make([]float64, len(columns[0]))
	for j, c := range columns {
		for i, x := range c {
			out[i] += fit.Coefficients[j] * x
		}
	}
	return out
}

// fitCensoring fits the strength of what else ends a test, on the same columns where there are enough such breaks,
// else one for all specimens; of fewer than three nothing is made.
func (b *Breaks) fitCensoring(k *session.Call, data strength.Sample, levels []int) error {
	if b.censored < fewestToPlan {
		return nil
	}
	rest := strength.Sample{Load: data.Load, Ended: make([]bool, len(data.Ended))}
	for i, is := range data.Ended {
		rest.Ended[i] = !is
	}
	baseline := data.Columns[:1]
	tries := [][][]float64{data.Columns, baseline}
	if len(b.Model.Others) > 0 {
		tries = slices.Insert(tries, 1, slices.Concat(baseline, b.Model.Others))
	}
	for _, columns := range tries {
		rest.Columns = columns
		fit, err := strength.Solve(k.Context, rest, b.Model.Distribution)
		var e *strength.Error
		if errors.As(err, &e) {
			continue
		}
		if err != nil {
			return err
		}
		place := places(fit, columns)
		// Where a level has no such break its place runs away upwards, beyond any test.
		if slices.ContainsFunc(place, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }) {
			continue
		}
		b.Model.OtherPlace, b.Model.OtherSpread, b.Model.OtherEffect = place, fit.Spread,
			make([]float64, b.Model.Levels)
		if len(columns) == len(data.Columns) {
			b.splitEffects(fit, columns, levels, b.Model.OtherPlace, b.Model.OtherEffect)
		}
		return nil
	}
	return nil
}

// Share is the difference that the plan is for, as a share of the weaker level.
func (b *Breaks) Share(k *session.Call, of phrase.PlanMeans) (float64, error) {
	a := of.Detecting
	if a == nil {
		w, err := k.WorthAsked()
		if err != nil || w.Amount == 0 {
			return w.Share, err
		}
		v, err := k.WorthIn(w, b.Response.Unit())
		return v / b.middle(), err
	}
	switch {
	case !(a.Value > 0):
		return 0, page.Refuse(page.CodeOutOfRange, a.At, "an amount over zero is needed here", "10%")
	case a.Percent:
		return a.Value, nil
	}
	v, err := session.InUnit(a.Value, a.Unit, b.Response.Unit(), a.At)
	return v / b.middle(), err
}

// middle is the median strength in the mode at the mean place of all specimens.
func (b *Breaks) middle() float64 {
	sum := 0.0
	for i, p := range b.Model.Place {
		sum += (p + b.Model.Effect[b.Model.Level[i]]) / float64(len(b.Model.Place))
	}
	return math.Exp(sum + b.Model.Spread*b.Model.Distribution.Standard(0.5))
}

// Called is the mode in a sentence: "failure is glue".
func (b *Breaks) Called() string {
	return b.Mode.Column.Column + " is " + session.ModeName(b.Mode)
}

// Problem puts an error of the plan into words; one that is no matter of the strength comes back as it is.
func (b *Breaks) Problem(of phrase.PlanMeans, err error) error {
	if !plan.Because(err, "confounded") {
		return err
	}
	return page.Refuse(page.Code(err.Error()), of.A.At, "with the other terms of "+b.Name+
		" as they are here, the levels of "+of.A.Column+" cannot be distinguished by any number of specimens",
		"plan of a strength without the terms that change with "+of.A.Column)
}

// Shown says by how much more a level would have to carry for n of each, too few for the difference planned for, to
// show it with the chance asked for, and sets what the sizes would show by it.
func (b *Breaks) Shown(ctx context.Context, sizes []plan.Size, seed uint64) (page.Sentence, error) {
	n := sizes[0].PerLevel
	larger, ok, err := b.Model.Shown(ctx, n, seed)
	if err != nil {
		return nil, err
	}
	if !ok {
		sizes[0].Detectable = math.NaN()
		return page.Say("With ", n, " of each, not even a level that carries ten times as much would be shown with a "+
			"chance of ", page.Share(b.Model.Wanted), ": too few of the specimens fail so."), nil
	}
	for i := range sizes {
		at, err := larger.At(sizes[i].PerLevel)
		if err != nil {
			return nil, err
		}
		sizes[i].Detectable = at.Detectable
	}
	more := page.Share(math.Expm1(sizes[0].Detectable))
	return page.Say("With ", n, " of each, one level would have to carry about ", more, " more for the chance to be ",
		page.Share(b.Model.Wanted), "."), nil
}

// Beside tells how many of the specimens are expected to fail so, and what the plan assumes.
func (b *Breaks) Beside(factor string) ([]page.Sentence, float64, error) {
	seen, first, second, err := b.Model.Seen()
	if err != nil {
		return nil, 0, err
	}
	s := page.Say("About ", page.Share(seen), " of the specimens are expected to show it: "+b.Called()+
		" in them, and the loads of the others are only lower bounds.")
	if b.Model.OtherPlace == nil {
		s = page.Say("All specimens are taken to fail so: " + b.Called() + ".")
	}
	out := []page.Sentence{s, page.Say("That is with the terms of " + b.Name + " as they are beside each level here, " +
		"and a specimen's strength in one mode independent of its strength in the others.")}
	if b.Model.Levels > 2 {
		out = append(out, page.Say("It is for the pair told least: "+factor+" "+b.Named[first]+
			" against "+b.Named[second]+", taken to be like it but stronger."))
	}
	return out, seen, nil
}
