package plans

import (
	"math"

	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// chancePlaces is about how many numbers of specimens the chance is worked out at.
const chancePlaces = 24

// DrawChance shows what chance other numbers of specimens than the planned one would give,
// up to twice as many.
func DrawChance(k *session.Call, cmd *phrase.DrawChance) (*session.Outcome, error) {
	n := cmd.Plan
	r, ok := k.Session.Result(n.Text)
	if !ok || r.Plan == nil {
		return nil, page.Refuse(page.CodeUnknownResult, n.At, "there is no plan named "+n.Text, "show results")
	}
	p := r.Plan
	if math.IsNaN(p.Finding.Chance) {
		return nil, page.Refuse(page.CodeNoChance, n.At, "the chance of "+r.Name+" could not be worked out, "+
			"so there is nothing to draw", "plan for fewer blanks")
	}
	fig, err := k.Picture("Chance by the number of specimens", cmd.Picture)
	if err != nil {
		return nil, err
	}
	k.Entry.Series = r.Series
	sizes, err := chances(k, p)
	if err != nil {
		return nil, err
	}
	fig.X = page.Axis{Label: "Specimens"}
	if p.Finding.Factors != "" {
		fig.X.Label += " of each of the " + p.Finding.Factors
	} else if p.Each != nil {
		fig.X.Label += " in all, in the plan's proportions"
	}
	fig.Y = page.Axis{Label: "Chance", Unit: "percent"}
	own, high := page.Line{Look: 0}, page.Line{Look: 1, Dashed: true}
	for _, s := range sizes {
		x := float64(s.PerLevel)
		own.X, own.Y = append(own.X, x), append(own.Y, 100*s.Chance)
		if !math.IsNaN(s.ChanceHighSpread) {
			high.X, high.Y = append(high.X, x), append(high.Y, 100*s.ChanceHighSpread)
		}
	}
	fig.Layers = []page.Layer{page.Rule{Y: 100 * p.Finding.Wanted, Label: "asked for"}, own}
	if len(high.X) > 0 {
		fig.Layers = append(fig.Layers, high)
		fig.Keys = []page.Key{{Label: "spread as planned with", Look: 0}, {Label: "spread at its upper limit", Look: 1}}
	}
	fig.Layers = append(fig.Layers, page.Points{X: []float64{float64(p.Finding.PerLevel)},
		Y: []float64{100 * p.Finding.Chance}, Looks: []int{0}, Names: []string{r.Name}})
	fig.Note = append(page.Say("Chance "), p.Finding.What...)
	first, last := sizes[0], sizes[len(sizes)-1]
	fig.Alt = p.Finding.ChanceAlt(first.PerLevel, first.Chance, last.PerLevel, last.Chance)
	return k.Drawn(fig)
}

// chances are what numbers of specimens from 2 to twice the plan's give, the plan's own
// among them; numbers that the plan's kind says nothing of are left out, and of levels made
// from whole blocks only whole blocks are looked at.
func chances(k *session.Call, p *session.Plan) ([]plan.Size, error) {
	var sizes []plan.Size
	least := 1
	if m, ok := p.Model.(stepper); ok {
		least = m.Step()
	}
	step := least * max(1, 2*p.PerLevel/chancePlaces/least)
	first := p.PerLevel - step*((p.PerLevel-2)/step)
	for n := first; n <= 2*p.PerLevel; n += step {
		if err := k.Context.Err(); err != nil {
			return nil, err
		}
		s, err := p.Model.At(n)
		if plan.Because(err, "too-few-specimens", "out-of-reach") {
			continue
		}
		if err != nil {
			return nil, planProblem(nil, err)
		}
		if !math.IsNaN(s.Chance) {
			sizes = append(sizes, s)
		}
	}
	return sizes, nil
}
