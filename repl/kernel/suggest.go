package kernel

import (
	"fmt"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/linear"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// The most joints that are suggested, and the most kinds of joint they are chosen from.
const mostSuggested, mostKinds = 200, 5000

// suggest names the joints that would narrow a fit's estimates most.
func suggest(k *call) (*Session, error) {
	n := k.c.Slots["n"].(phrase.Count)
	if n.Value < 1 || n.Value > mostSuggested {
		return nil, &page.Problem{Code: "out-of-range", At: n.At, Message: fmt.Sprintf("1 to %d joints can be suggested", mostSuggested)}
	}
	r, _ := k.s.result(k.c.Slots["fit"].(phrase.Name).Text)
	f := r.fit
	k.e.Series = r.series
	settable := f.settable()
	if len(settable) == 0 {
		return nil, &page.Problem{Code: "nothing-to-set", At: k.slotPlace("fit"), Message: "every term of " + r.name + " comes with the blank, so there is nothing to choose"}
	}
	points, ok := f.kinds(settable)
	if !ok {
		return nil, &page.Problem{Code: "out-of-range", At: k.slotPlace("fit"), Message: fmt.Sprintf("the terms of %s make more than %d kinds of joint", r.name, mostKinds)}
	}
	var candidates [][]float64
	var kept []linear.Point
	for _, p := range points {
		if w, ok := f.Weights(p); ok {
			candidates, kept = append(candidates, f.own(w)), append(kept, p)
		}
	}
	measured := make([][]float64, f.sample.frame.Len())
	for i := range measured {
		row := make([]float64, len(f.Coefficients))
		for j, c := range f.Matrix.Columns {
			row[j] = c[i]
		}
		measured[i] = f.own(row)
	}
	s, err := plan.Suggest(measured, candidates, n.Value, k.s.settings.Seed)
	if err != nil {
		return nil, &page.Problem{Code: "not-settled", At: k.slotPlace("fit"), Message: "the specimens of " + r.name + " do not settle its terms, so nothing tells what would narrow them"}
	}
	k.e.Tables = []page.Table{f.suggested(settable, kept, s.Chosen)}
	narrower := 1 - math.Exp(-s.Gain/(2*float64(len(candidates[0]))))
	var found []string
	for v, x := range f.model().Variables {
		if !slices.Contains(settable, v) {
			found = append(found, x.Name)
		}
	}
	k.e.Findings = []page.Sentence{say.Suggested(n.Value, r.name, narrower, found)}
	k.e.Values = []page.Value{figure("narrower", narrower, page.Fraction, ""), figure("ln_determinant_gain", s.Gain, page.Plain, "")}
	return nil, nil
}

// variables are indices of a fit's variables.
type variables []int

// settable are the variables that can be chosen: those not marked as found with the blank.
func (f *fitted) settable() variables {
	var out variables
	for i, v := range f.model().Variables {
		if c, ok := f.sample.frame.Column(v.Name); !ok || c.Role != frames.Found {
			out = append(out, i)
		}
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
func (f *fitted) suggested(of variables, points []linear.Point, chosen []int) page.Table {
	t := page.Table{ID: "suggested", Title: page.Say("What to make next")}
	for _, v := range of {
		x := f.model().Variables[v]
		t.Columns = append(t.Columns, page.Column{ID: x.Name, Unit: x.Unit})
	}
	t.Columns = append(t.Columns, page.Column{ID: "n", Style: page.Count})
	count := make([]int, len(points))
	for _, c := range chosen {
		count[c]++
	}
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
