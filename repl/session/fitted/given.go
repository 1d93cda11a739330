package fitted

import (
	"context"
	"slices"
	"strconv"

	"breakbook/frames/units"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// GivenJoint is one joint that something is asked of a fit about.
type GivenJoint struct {
	Text  string        // "pins pair, density 640 kg/m3": its key
	Words page.Sentence // the same for a sentence: "pins pair, density 640 kg/m³"
	Point linear.Point
}

// ExpectedOf is what the fit expects of a joint, with the weights of its coefficients; one it
// cannot tell of is a problem.
func (f *Fit) ExpectedOf(ctx context.Context, a GivenJoint, at int) ([]float64, linear.Estimate, error) {
	w, ok := f.Weights(a.Point)
	var e linear.Estimate
	if ok {
		e, ok = f.Combination(ctx, w)
	}
	if ok {
		return w, e, nil
	}
	why := "no specimens combine these levels"
	if len(a.Point.Numbers) > 0 {
		why = "it separates columns that always changed together in these specimens"
	}
	return nil, e, page.Refuse(page.CodeNotEstimable, at, "the fit cannot tell what to expect of "+a.Text+": "+why, "")
}

// Points is the grid of everything asked for.
func Points(k *session.Call, f *Fit, given phrase.Given) ([]GivenJoint, error) {
	out := []GivenJoint{{}}
	if err := session.FewPredictions(given); err != nil {
		return nil, err
	}
	for _, item := range given.List {
		variable := slices.Index(f.Columns(), item.Column.Column)
		if variable < 0 {
			return nil, page.Refuse(page.CodeNotInFit, item.At, item.Column.Column+" is not a term of this fit",
				"give one of: "+session.Listed(lists.Mapped(f.Columns(), phrase.Spelled)))
		}
		if isGiven(out[0].Point, variable) {
			return nil, page.Refuse(page.CodeGivenTwice, item.At, item.Column.Column+" is given twice",
				"several values go with or")
		}
		var grid []GivenJoint
		for _, a := range out {
			for _, v := range item.Values {
				b, err := f.with(a, variable, v)
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

// isGiven reports whether a variable has a value or a level at a point.
func isGiven(p linear.Point, variable int) bool {
	_, number := p.Numbers[variable]
	_, level := p.Levels[variable]
	return number || level
}

// with is a point with one more variable given.
func (f *Fit) with(a GivenJoint, variable int, v phrase.Value) (GivenJoint, error) {
	b := GivenJoint{Point: Within{}.At(a.Point)}
	m := f.Model().Variables[variable]
	said, words := v.Text, page.Say(v.Text)
	if m.IsCategory() {
		l := slices.Index(m.Levels, v.Text)
		if l < 0 || !slices.Contains(m.Codes, l) {
			return b, page.Refuse(page.CodeUnknownLevel, v.At, "no specimen of this fit has "+m.Name+" "+v.Text,
				"its levels are "+session.Listed(lists.Mapped(m.Levels, phrase.Spelled)))
		}
		b.Point.Levels[variable] = l
	} else {
		if v.Amount == nil {
			return b, page.Refuse(page.CodeExpectedNumber, v.At, m.Name+" needs a number, not "+v.Text, "")
		}
		from, err := session.UnitOf(*v.Amount)
		if err != nil {
			return b, err
		}
		x := session.TypedValue(*v.Amount)
		said = strconv.FormatFloat(x, 'g', -1, 64)
		typed := page.Num{Value: x, Unit: m.Unit, Style: page.Exact}
		if to, ok := units.Parse(m.Unit); ok && !from.None() {
			if x, err = units.Convert(x, from, to); err != nil {
				return b, session.WithPlace(err, v.At)
			}
			typed.Unit = from.String()
			said += " " + typed.Unit
		} else if m.Unit != "" {
			said += " " + m.Unit
		}
		b.Point.Numbers[variable], words = x, page.Say(typed)
	}
	b.Text, b.Words = m.Name+" "+said, page.Say(m.Name+" ", words)
	if a.Text != "" {
		b.Text, b.Words = a.Text+", "+b.Text, page.Say(a.Words, ", ", b.Words)
	}
	return b, nil
}

// OutsideSeen warns where a number asked for lies outside those the fit saw.
func OutsideSeen(k *session.Call, f *Fit, given phrase.Given) []page.Sentence {
	var out []page.Sentence
	for _, item := range given.List {
		variable := slices.Index(f.Columns(), item.Column.Column)
		m := f.Model().Variables[variable]
		if m.IsCategory() {
			continue
		}
		lo, hi := session.MinMax(m.Numbers)
		for _, v := range item.Values {
			a, err := f.with(GivenJoint{}, variable, v)
			if err != nil {
				continue
			}
			if x := a.Point.Numbers[variable]; x < lo || x > hi {
				out = append(out, page.Say(a.Words, " lies outside what was seen (",
					page.Span{Low: lo, High: hi, Unit: m.Unit},
					"): nothing was broken there, so the line is only a guess."))
			}
		}
	}
	return out
}
