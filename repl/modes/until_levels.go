package modes

import (
	"math"
	"slices"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/strength"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// levelStrength is what one level would carry, had one way of breaking been the only one.
type levelStrength struct {
	variable, level int       // −1 for all specimens together
	row, said       string    // said, "pins pair", is empty for all specimens together
	weights         []float64 // nil where the terms cannot place the level
	// NaN where they do not exist, +Inf where nothing holds them
	median, fifth           float64
	medianRange, fifthRange verdict.Range
	medianBound             verdict.Range // medians possible with nothing assumed
	boundRange              verdict.Range // the same with the scatter of the specimens allowed for
}

// strengths takes the medians and 5th percentiles of every level of every category of the
// terms, number columns at their mean and other categories averaged level by level on the
// ln scale; without categories, of all specimens together.
func (u *oneMode) strengths(k *session.Call, conf float64) ([]levelStrength, error) {
	var out []levelStrength
	for i, v := range u.Place.Model().Variables {
		for _, l := range u.Place.Matrix.Present[i] {
			out = append(out, levelStrength{variable: i, level: l, row: u.rowOf(v, v.Levels[l]), said: levelSaid(v, l)})
		}
	}
	if len(out) == 0 {
		out = []levelStrength{{variable: -1, level: -1, row: "all"}}
	}
	for i := range out {
		if err := out[i].measure(k, u, conf); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// rowOf is a point of a variable in the first column of a table: with its column where several are categories.
func (u *oneMode) rowOf(v design.Variable, point string) string {
	categories := 0
	for _, o := range u.Place.Model().Variables {
		if o.IsCategory() {
			categories++
		}
	}
	if v.IsCategory() && categories > 1 {
		return v.Name + ": " + point
	}
	return point
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
		for i, code := range u.Place.Model().Variables[s.variable].Codes {
			if code == s.level {
				loads, ended = append(loads, u.load.Values[i]), append(ended, u.ended[i])
			}
		}
	}
	s.medianBound = strength.Bounds(k.Context, loads, ended)
	s.boundRange = strength.BoundsRange(k.Context, loads, ended, conf)
	w, ok := u.row(p)
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
	s.medianRange, s.fifthRange = m.Range.Each(math.Exp), f.Range.Each(math.Exp)
	return nil
}

// mostTold is how many levels a finding names.
const mostTold = 8

// told are the first levels that the terms can place.
func told(all []levelStrength) []levelStrength {
	placed := slices.DeleteFunc(slices.Clone(all), func(s levelStrength) bool { return s.weights == nil })
	return placed[:min(len(placed), mostTold)]
}

// carried is the median in a sentence.
func (s levelStrength) carried(unit string) page.Sentence {
	if math.IsInf(s.median, 1) {
		return page.Say("any load seen")
	}
	half := 0.0
	if s.medianRange.Known() {
		half = (s.medianRange.High - s.medianRange.Low) / 2
	}
	return page.Say(page.Num{Value: s.median, Unit: unit, Resolution: half})
}
