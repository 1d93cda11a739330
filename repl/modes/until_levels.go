package modes

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
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
	categories := lists.Count(u.Place.Model().Variables, func(o design.Variable) bool { return o.IsCategory() })
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

// mostNamed is how many levels a finding names.
const mostNamed = 8

// namedLevels are the first levels that the terms can place.
func namedLevels(all []levelStrength) []levelStrength {
	placed := slices.DeleteFunc(slices.Clone(all), func(s levelStrength) bool { return s.weights == nil })
	return placed[:min(len(placed), mostNamed)]
}

func (s levelStrength) medianWords(unit string) page.Sentence {
	if math.IsInf(s.median, 1) {
		return page.Say("any load seen")
	}
	half := 0.0
	if s.medianRange.Known() {
		half = (s.medianRange.High - s.medianRange.Low) / 2
	}
	return page.Say(page.Num{Value: s.median, Unit: unit, Resolution: half})
}

// tooFewBreaks names the levels that were left out because hardly any specimen broke so.
func tooFewBreaks(mode string, levels []string, breaks []int) page.Sentence {
	s := page.Say("Left out, for fewer than 3 specimens in which " + mode + ": ")
	for i, l := range levels {
		s = page.Say(s, page.If(i > 0, "; "), l+" (", breaks[i], ")")
	}
	return append(s, page.Word("."))
}

// leaveOut takes out the levels, of the categories among the columns, at which fewer than 3
// specimens broke so, until every level left has 3; then says where too few are left at all.
func (u *oneMode) leaveOut(k *session.Call, columns []string) error {
	s := u.sample
	var names []string
	var breaks []int
	for again := true; again; {
		ended, err := u.top.ended(k, s.Frame, u.mode)
		if err != nil {
			return err
		}
		u.ended, again = ended, false
		for _, name := range columns {
			v, err := s.Variable(k.Context, name)
			if err != nil {
				return err
			}
			if !v.IsCategory() {
				continue
			}
			drop, counts := thinLevels(v, ended)
			if len(drop) == 0 {
				continue
			}
			keep := make([]bool, len(ended))
			for i, code := range v.Codes {
				keep[i] = !slices.Contains(drop, code)
			}
			for _, l := range drop {
				names, breaks = append(names, name+" "+v.Levels[l]), append(breaks, counts[l])
			}
			if !slices.Contains(keep, true) {
				return u.tooFew(k, names, breaks)
			}
			s.Only(k.Context, keep)
			again = true
			break
		}
	}
	k.Entry.Specimens = new(s.Counts)
	if n := count(u.ended); n < fewestBreaks {
		return u.tooFew(k, nil, []int{n})
	}
	for _, name := range columns {
		if only, is := onlyLevel(k.Context, s, name); is && len(names) > 0 {
			return page.Refuse(page.CodeTooFewBreaks, u.mode.At, "of "+name+" only "+only+" has 3 specimens in which "+
				u.wasUnder()+u.top.why()+", so there is no level to compare it with", "leave "+name+
				" out of the terms, or break more specimens")
		}
	}
	if len(names) > 0 {
		u.leftOut = append(u.leftOut, tooFewBreaks(u.wasUnder()+u.top.why(), names, breaks))
	}
	return nil
}

// onlyLevel is the one level that a category has among the specimens; is tells that there is
// just one.
func onlyLevel(ctx context.Context, s *session.Sample, name string) (level string, is bool) {
	v, err := s.Variable(ctx, name)
	if err != nil || !v.IsCategory() || slices.Min(v.Codes) != slices.Max(v.Codes) {
		return "", false
	}
	return v.Levels[v.Codes[0]], true
}

// thinLevels are the levels some specimen has at which fewer than 3 broke so.
func thinLevels(v design.Variable, ended []bool) (drop, counts []int) {
	counts, present := make([]int, len(v.Levels)), make([]bool, len(v.Levels))
	for i, code := range v.Codes {
		present[code] = true
		if ended[i] {
			counts[code]++
		}
	}
	for l := range v.Levels {
		if present[l] && counts[l] < fewestBreaks {
			drop = append(drop, l)
		}
	}
	return drop, counts
}

func count(mask []bool) int {
	return lists.Count(mask, func(is bool) bool { return is })
}

// tooFew is the problem of hardly any break of the mode.
func (u *oneMode) tooFew(k *session.Call, levels []string, breaks []int) error {
	p := &page.Problem{Code: page.CodeTooFewBreaks, At: u.mode.At}
	was := u.wasUnder() + u.top.why()
	if len(levels) == 0 {
		p.Message = fmt.Sprintf("in only %d of these specimens %s: at least 3 are needed to tell what that way of "+
			"breaking would carry", breaks[0], was)
		p.Hint = k.OrWiden("break more, or join ways of breaking with among")
		return p
	}
	p.Message = "at no level of the terms are there 3 specimens in which " + was +
		" (" + strings.Join(levels, "; ") + ")"
	p.Hint = "leave terms out, or break more specimens"
	return p
}
