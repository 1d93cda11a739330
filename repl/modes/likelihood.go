package modes

import (
	"context"
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/dist"
	"breakbook/models/linear"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Likelihood is a fit of a mode's strength, or of the odds of modes, before anything is told of it.
type Likelihood struct {
	Log        float64
	Parameters int         // coefficients, of all modes
	Specimens  int         // behind it
	Penalised  bool        // the log likelihood holds a penalty that depends on the terms
	Place      *fitted.Fit // by least squares on the same terms: for its design and residuals only
	Scatter    string      // the distribution of a strength, as it is written in a sentence; "" of odds

	alone func(ctx context.Context, column int) (p float64, err error) // of one coefficient, if penalised
	kept  []int
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
		return &Likelihood{Log: u.LogLikelihood, Parameters: len(u.kept), Specimens: u.N, Place: u.place,
			Scatter: proper(u.Distribution.Name()), kept: u.kept}, nil
	case *phrase.Odds:
		o, s, err := oddsOn(k, cmd)
		if err != nil {
			return nil, err
		}
		l := &Likelihood{Log: o.LogLikelihood, Parameters: len(o.kept) * (len(o.names) - 1), Specimens: s.Frame.Len(),
			Penalised: o.Separated, Place: o.place, kept: o.kept}
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
