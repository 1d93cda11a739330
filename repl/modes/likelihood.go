package modes

import (
	"context"
	"iter"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// placed is what odds, or a strength, are fitted on: the design of a fit by least squares on the same terms,
// without the columns that depend on others.
type placed struct {
	Place *fitted.Fit
	kept  []int // the coefficients of Place that are fitted
}

// placedOn fits a response by least squares for its design, and gives the columns that are left.
func placedOn(k *session.Call, s *session.Sample, y *session.Response, b session.Formula) (placed, [][]float64, error) {
	v, err := s.Variables(k.Context, b.Columns)
	if err != nil {
		return placed{}, nil, err
	}
	f, err := linear.Solve(k.Context, y.Values, design.Model{Variables: v, Terms: b.Terms})
	if err != nil {
		return placed{}, nil, err
	}
	kept, columns := f.Independent()
	return placed{&fitted.Fit{Fit: f, Estimator: f, Sample: s, Y: y, Command: k.Command}, kept}, columns, nil
}

// row is the fitted columns at a point of the design; false where the terms cannot place it.
func (p placed) row(at linear.Point) ([]float64, bool) {
	all, ok := p.Place.Weights(at)
	if !ok {
		return nil, false
	}
	return lists.Mapped(p.kept, func(j int) float64 { return all[j] }), true
}

// coefficients are all of Place with the weights that pick each; nil for one that is not fitted.
func (p placed) coefficients() iter.Seq2[linear.Coefficient, []float64] {
	return func(yield func(linear.Coefficient, []float64) bool) {
		for j, c := range p.Place.Coefficients {
			var pick []float64
			if at := slices.Index(p.kept, j); at >= 0 {
				pick = make([]float64, len(p.kept))
				pick[at] = 1
			}
			if !yield(c, pick) {
				return
			}
		}
	}
}

// designPoint is a level of a category, or an end of a number column.
type designPoint struct {
	name, said string
	row        []float64
	variable   int
	level      int     // of the category, or -1
	at         float64 // of a number
}

// points are the levels of a category, or two values of a number column, that the terms can place.
func (p placed) points(variable int, ends func(numbers []float64) (low, high float64)) []designPoint {
	v := p.Place.Model().Variables[variable]
	var out []designPoint
	add := func(d designPoint, at linear.Point) {
		var ok bool
		if d.row, ok = p.row(at); ok {
			d.variable = variable
			out = append(out, d)
		}
	}
	for _, l := range p.Place.Matrix.Present[variable] {
		add(designPoint{name: v.Levels[l], said: levelSaid(v, l), level: l},
			linear.Point{Levels: map[int]int{variable: l}})
	}
	if !v.IsCategory() {
		low, high := ends(v.Numbers)
		for _, x := range []float64{low, high} {
			name := v.Name + " " + strconv.FormatFloat(x, 'g', 6, 64)
			add(designPoint{name: name, said: name, level: -1, at: x},
				linear.Point{Numbers: map[int]float64{variable: x}})
		}
	}
	return out
}

// levelSaid is a level of a category in a sentence: "overlap 20 mm".
func levelSaid(v design.Variable, level int) string {
	return strings.TrimSpace(v.Name + " " + v.Levels[level] + " " + v.Unit)
}

// above is the row of a point less that of another; false where the terms do not distinguish them.
func (d designPoint) above(from designPoint) ([]float64, bool) {
	w, differ := make([]float64, len(d.row)), false
	for i := range w {
		w[i] = d.row[i] - from.row[i]
		differ = differ || w[i] != 0
	}
	return w, differ
}

// Likelihood is a fit of a mode's strength, or of the odds of modes, before anything is told of it.
type Likelihood struct {
	placed     // its Place has residuals of use too
	Log        float64
	Parameters int    // coefficients, of all modes
	Specimens  int    // behind it
	Penalised  bool   // the log likelihood holds a penalty that depends on the terms
	Scatter    string // the distribution of a strength, as it is written in a sentence; "" of odds

	alone func(ctx context.Context, column int) (p float64, err error) // of one coefficient, if penalised
}

// LikelihoodOf fits what a command about a mode asks for: one that takes its strength, or its odds.
func LikelihoodOf(k *session.Call) (*Likelihood, error) {
	switch cmd := k.Command.Do.(type) {
	case *phrase.Until:
		var terms phrase.Terms
		if cmd.Terms != nil {
			terms = *cmd.Terms
		}
		u, err := oneModeAlone(k, cmd.Y, cmd.Mode, terms, cmd.Scatter)
		if err != nil {
			return nil, err
		}
		return &Likelihood{placed: u.placed, Log: u.LogLikelihood, Parameters: len(u.kept), Specimens: u.N,
			Scatter: proper(u.Distribution.Name())}, nil
	case *phrase.Odds:
		o, s, err := oddsOn(k, cmd)
		if err != nil {
			return nil, err
		}
		l := &Likelihood{placed: o.placed, Log: o.LogLikelihood, Parameters: len(o.kept) * (len(o.names) - 1),
			Specimens: s.Frame.Len(), Penalised: o.Separated}
		l.alone = func(ctx context.Context, column int) (float64, error) {
			w := make([]float64, len(o.kept))
			w[column] = 1
			e, err := o.Combination(ctx, 1, w, k.Confidence())
			return e.P, err
		}
		return l, nil
	}
	return nil, k.Unhandled()
}

// Added is the probability of what a larger fit has beyond this one, on the same specimens: by the
// likelihood ratio, or where a penalty stands in the way by that of the coefficient, if it is one and
// of one mode (Heinze & Schemper 2002). NaN where there is none.
func (l *Likelihood) Added(ctx context.Context, larger *Likelihood) float64 {
	df := larger.Parameters - l.Parameters
	switch {
	case df < 1 || larger.Specimens != l.Specimens:
		return math.NaN()
	case !l.Penalised && !larger.Penalised:
		return dist.ChiSquareTail(2*math.Max(0, larger.Log-l.Log), float64(df))
	case df > 1 || larger.Parameters != len(larger.kept):
		return math.NaN()
	}
	for at, j := range larger.kept {
		if !l.has(larger.Place.Model(), larger.Place.Coefficients[j]) {
			if p, err := larger.alone(ctx, at); err == nil {
				return p
			}
		}
	}
	return math.NaN()
}

// has reports whether the fit has a coefficient of another model too.
func (l *Likelihood) has(m design.Model, c linear.Coefficient) bool {
	name := session.RowName(m, c.Label)
	return slices.ContainsFunc(l.kept, func(j int) bool {
		return session.RowName(l.Place.Model(), l.Place.Coefficients[j].Label) == name
	})
}
