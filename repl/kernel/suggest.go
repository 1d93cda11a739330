package kernel

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/models/linear"
	"breakbook/models/plan"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// The most joints that are suggested, the most kinds of joint they are chosen from, and the
// most pairs of a kind and a blank that are looked at.
const mostSuggested, mostKinds, mostLooked = 200, 5000, 100_000

// suggest names the joints that would narrow a fit's estimates most.
func suggest(k *call) (*Session, error) {
	n := k.c.Slots["n"].(phrase.Count)
	if n.Value < 1 || n.Value > mostSuggested {
		return nil, &page.Problem{Code: "out-of-range", At: n.At, Message: fmt.Sprintf("1 to %d joints can be suggested", mostSuggested)}
	}
	f, err := k.earlierFit()
	if err != nil {
		return nil, err
	}
	name := k.c.Slots["fit"].(phrase.Name).Text
	settable, found := k.settable(f)
	if len(settable) == 0 {
		return nil, &page.Problem{Code: "nothing-to-set", At: k.slotPlace("fit"), Message: "every term of " + name + " comes with the blank, so there is nothing to choose"}
	}
	points, ok := f.kinds(settable)
	if !ok {
		return nil, &page.Problem{Code: "out-of-range", At: k.slotPlace("fit"), Message: fmt.Sprintf("the terms of %s make more than %d kinds of joint", name, mostKinds)}
	}
	measured, ok := f.measuredInformation(k.ctx)
	var s plan.Suggestion
	var kept []linear.Point
	if err = error(&plan.Error{Code: "singular"}); ok {
		var candidates [][][]float64
		if kept, candidates, err = f.broughtBy(k.ctx, points, found); err == nil {
			s, err = plan.Suggest(k.ctx, measured, candidates, n.Value, k.s.settings.Seed)
		}
	}
	var e *plan.Error
	if errors.As(err, &e) {
		return nil, &page.Problem{Code: "not-settled", At: k.slotPlace("fit"), Message: "the specimens of " + name + " do not settle its terms, so nothing tells what would narrow them"}
	}
	if err != nil {
		return nil, err
	}
	count := make([]int, len(kept))
	for _, c := range s.Chosen {
		count[c]++
	}
	k.e.Tables = []page.Table{f.suggested(settable, kept, count)}
	narrower := 1 - math.Exp(-s.Gain/(2*float64(len(measured))))
	told := say.Suggested(n.Value, f.toMake(settable, kept, count), name, narrower)
	k.e.Findings = []page.Sentence{told}
	if len(found) > 0 {
		k.e.Findings = append(k.e.Findings, say.FoundAveraged(f.namesOf(found)))
	}
	if len(f.way.blocks) > 0 {
		k.e.Findings = append(k.e.Findings, say.SuggestedInBlocks(f.way.blocks[0].Name()))
	}
	if w := f.way.weight.Column; w != "" {
		k.e.Findings = append(k.e.Findings, say.SuggestedWeighed(w, f.meanWeight()))
	}
	k.e.Values = []page.Value{figure("narrower", narrower, page.Fraction, ""), figure("ln_determinant_gain", s.Gain, page.Plain, "")}
	return k.rested(f.sample, f.response, f.known(), f.suggestedMains(settable, kept, count, told)), nil
}

// suggestedMains are how many of each kind are suggested, that of which most are first: with
// other specimens another number is another answer once it is off by more than a third.
func (f *fitted) suggestedMains(of variables, points []linear.Point, count []int, told page.Sentence) []main {
	var out []main
	for i, n := range count {
		x := float64(n)
		m := main{key: f.kindName(of, points[i]), told: told, gap: say.Gap{Value: x, Range: verdict.Range{Low: x - x/3, High: x + x/3}}}
		out = append(out, m)
	}
	slices.SortStableFunc(out, func(a, b main) int { return int(b.gap.Value - a.gap.Value) })
	return out
}

// variables are indices of a fit's variables.
type variables []int

// settable are the variables that can be chosen, and those marked as found with the blank.
func (k *call) settable(f *fitted) (settable, found variables) {
	frame, ok := k.s.frame(k.e.Series)
	if !ok {
		frame = f.sample.frame
	}
	for i, v := range f.model().Variables {
		if c, ok := frame.Column(v.Name); ok && c.Role == frames.Found {
			found = append(found, i)
		} else {
			settable = append(settable, i)
		}
	}
	return settable, found
}

func (f *fitted) namesOf(of variables) []string {
	var out []string
	for _, v := range of {
		out = append(out, f.model().Variables[v].Name)
	}
	return out
}

// kinds are every combination of levels, and of low, middle and high of the numbers.
func (f *fitted) kinds(of variables) ([]linear.Point, bool) {
	out := []linear.Point{{Numbers: map[int]float64{}, Levels: map[int]int{}}}
	for _, v := range of {
		var next []linear.Point
		add := func(level int, number float64, category bool) {
			for _, p := range out {
				q := linear.Point{Numbers: map[int]float64{}, Levels: map[int]int{}}
				for i, x := range p.Numbers {
					q.Numbers[i] = x
				}
				for i, l := range p.Levels {
					q.Levels[i] = l
				}
				if category {
					q.Levels[v] = level
				} else {
					q.Numbers[v] = number
				}
				next = append(next, q)
			}
		}
		if x := f.model().Variables[v]; x.IsCategory() {
			for _, l := range f.Matrix.Present[v] {
				add(l, 0, true)
			}
		} else {
			low, high := math.Inf(1), math.Inf(-1)
			for _, y := range x.Numbers {
				low, high = math.Min(low, y), math.Max(high, y)
			}
			for _, y := range []float64{low, (low + high) / 2, high} {
				add(0, y, false)
			}
		}
		if out = next; len(out) > mostKinds {
			return nil, false
		}
	}
	return out, true
}

// own is a row without the columns that cannot be told apart from others.
func (f *fitted) own(row []float64) []float64 {
	var out []float64
	for i, c := range f.Coefficients {
		if !c.Dependent {
			out = append(out, row[i])
		}
	}
	return out
}

// suggested is one row a kind of joint, with how many of it.
func (f *fitted) suggested(of variables, points []linear.Point, count []int) page.Table {
	t := page.Table{ID: "suggested", Title: page.Say("What to make next")}
	for _, v := range of {
		x := f.model().Variables[v]
		t.Columns = append(t.Columns, page.Column{ID: x.Name, Unit: x.Unit})
	}
	t.Columns = append(t.Columns, page.Column{ID: "n", Style: page.Count})
	for i, n := range count {
		if n == 0 {
			continue
		}
		var cells []page.Cell
		for _, v := range of {
			if x := f.model().Variables[v]; x.IsCategory() {
				cells = append(cells, page.T(x.Levels[points[i].Levels[v]]))
			} else {
				cells = append(cells, page.N(points[i].Numbers[v]))
			}
		}
		t.Rows = append(t.Rows, append(cells, page.N(float64(n))))
	}
	return t
}

// toMake is each kind of joint suggested, for a sentence.
func (f *fitted) toMake(of variables, points []linear.Point, count []int) []say.Kind {
	var out []say.Kind
	for i, n := range count {
		if n == 0 {
			continue
		}
		kind := say.Kind{N: n}
		for _, v := range of {
			x := f.model().Variables[v]
			part := page.Say(x.Name + " ")
			if x.IsCategory() {
				part = append(part, page.Word(x.Levels[points[i].Levels[v]]))
			} else {
				part = append(part, page.Num{Value: points[i].Numbers[v], Unit: x.Unit})
			}
			kind.Of = append(kind.Of, part)
		}
		out = append(out, kind)
	}
	return out
}

// kindName tells kinds apart.
func (f *fitted) kindName(of variables, p linear.Point) string {
	var out []string
	for _, v := range of {
		if x := f.model().Variables[v]; x.IsCategory() {
			out = append(out, x.Levels[p.Levels[v]])
		} else {
			out = append(out, strconv.FormatFloat(p.Numbers[v], 'g', -1, 64))
		}
	}
	return fmt.Sprintf("%q", out)
}
