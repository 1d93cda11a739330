package modes

import (
	"math"

	"breakbook/models/linear"
	"breakbook/models/strength"
	"breakbook/models/verdict"
	"breakbook/repl/session"
)

// carriedLoad is the median load of one level, had one way of breaking been the only one.
type carriedLoad struct {
	Level  string // "pins pair"; empty for all specimens together
	Median float64
	Range  verdict.Range
	Bounds verdict.Range // medians possible with nothing assumed

	BoundsRange verdict.Range // the same with the scatter of the specimens allowed for
}

// levelStrength is what one level would carry.
type levelStrength struct {
	variable, level int // −1 for all specimens together
	row, said       string
	weights         []float64 // nil where the terms cannot place the level
	// NaN where they do not exist, +Inf where nothing holds them
	median, fifth                                    float64
	medianRange, fifthRange, medianBound, boundRange verdict.Range
}

// strengths takes the medians and 5th percentiles of every level of every category of the
// terms, number columns at their mean and other categories averaged level by level on the
// ln scale; without categories, of all specimens together.
func (u *oneMode) strengths(k *session.Call, conf float64) ([]levelStrength, error) {
	var out []levelStrength
	model := u.place.Model()
	categories := 0
	for _, v := range model.Variables {
		if v.IsCategory() {
			categories++
		}
	}
	for i, v := range model.Variables {
		for _, l := range u.place.Matrix.Present[i] {
			s := levelStrength{variable: i, level: l, row: v.Levels[l], said: v.Name + " " + v.Levels[l]}
			if categories > 1 {
				s.row = v.Name + ": " + v.Levels[l]
			}
			if v.Unit != "" {
				s.said += " " + v.Unit
			}
			out = append(out, s)
		}
	}
	if categories == 0 {
		out = []levelStrength{{variable: -1, level: -1, row: "all"}}
	}
	for i := range out {
		if err := out[i].measure(k, u, conf); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (s *levelStrength) measure(k *session.Call, u *oneMode, conf float64) error {
	nan := math.NaN()
	none := verdict.Range{Low: nan, High: nan}
	s.median, s.fifth, s.medianRange, s.fifthRange = nan, nan, none, none
	p := linear.Point{}
	loads, ended := u.load.Values, u.ended
	if s.variable >= 0 {
		p.Levels = map[int]int{s.variable: s.level}
		loads, ended = nil, nil
		for i, code := range u.place.Model().Variables[s.variable].Codes {
			if code == s.level {
				loads, ended = append(loads, u.load.Values[i]), append(ended, u.ended[i])
			}
		}
	}
	s.medianBound = strength.Bounds(k.Context, loads, ended)
	s.boundRange = strength.BoundsRange(k.Context, loads, ended, conf)
	w, ok := u.weights(p)
	if !ok {
		return nil
	}
	s.weights = w
	m, err := u.Quantile(k.Context, w, 0.5, conf)
	if err = u.Of("the median of "+s.row, err); err != nil {
		return err
	}
	f, err := u.Quantile(k.Context, w, 0.05, conf)
	if err = u.Of("the 5th percentile of "+s.row, err); err != nil {
		return err
	}
	s.median, s.fifth = math.Exp(m.Value), math.Exp(f.Value)
	s.medianRange = verdict.Range{Low: math.Exp(m.Range.Low), High: math.Exp(m.Range.High)}
	s.fifthRange = verdict.Range{Low: math.Exp(f.Range.Low), High: math.Exp(f.Range.High)}
	return nil
}

// mostTold is how many levels a finding names.
const mostTold = 8

func carriedOf(all []levelStrength) []carriedLoad {
	var out []carriedLoad
	for _, s := range all {
		if s.weights != nil && len(out) < mostTold {
			out = append(out, carriedLoad{Level: s.said, Median: s.median, Range: s.medianRange, Bounds: s.medianBound,
				BoundsRange: s.boundRange})
		}
	}
	return out
}
