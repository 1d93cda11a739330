package kernel

import (
	"errors"
	"math"

	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// chancePlaces is about how many numbers of specimens the chance is worked out at.
const chancePlaces = 24

// drawChance shows what chance other numbers of specimens than the planned one would give,
// up to twice as many.
func drawChance(k *call, cmd *phrase.DrawChance) (*outcome, error) {
	n := cmd.Plan
	r, ok := k.s.result(n.Text)
	if !ok || r.plan == nil {
		return nil, &page.Problem{Code: "unknown-result", Message: "there is no plan named " + n.Text, At: n.At, Hint: "show results"}
	}
	p := r.plan
	if math.IsNaN(p.told.Chance) {
		return nil, &page.Problem{Code: "no-chance", Message: "the chance of " + r.name + " could not be worked out, so there is nothing to draw", At: n.At, Hint: "plan for fewer blanks"}
	}
	fig, err := k.picture("Chance of "+r.name, cmd.Picture)
	if err != nil {
		return nil, err
	}
	k.e.Series = r.series
	sizes, err := k.chances(p)
	if err != nil {
		return nil, err
	}
	fig.X = page.Axis{Label: "Specimens"}
	if p.told.Factors != "" {
		fig.X.Label += " of each of the " + p.told.Factors
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
	fig.Layers = []page.Layer{page.Rule{Y: 100 * p.told.Wanted, Label: "asked for"}, own}
	if len(high.X) > 0 {
		fig.Layers = append(fig.Layers, high)
		fig.Keys = []page.Key{{Label: "spread as planned with", Look: 0}, {Label: "spread at its upper limit", Look: 1}}
	}
	fig.Layers = append(fig.Layers, page.Points{X: []float64{float64(p.told.PerLevel)}, Y: []float64{100 * p.told.Chance}, Looks: []int{0}, Names: []string{r.name}})
	fig.Note = append(page.Say("Chance "), p.told.What...)
	first, last := sizes[0], sizes[len(sizes)-1]
	fig.Alt = p.told.ChanceAlt(first.PerLevel, first.Chance, last.PerLevel, last.Chance)
	return k.drawn(fig)
}

// chances are what numbers of specimens from 2 to twice the plan's give, the plan's own
// among them; numbers that the plan's kind says nothing of are left out, and of levels made
// from whole blocks only whole blocks are looked at.
func (k *call) chances(p *planned) ([]plan.Size, error) {
	var sizes []plan.Size
	least := 1
	if m, ok := p.model.(plan.Means); ok {
		least = m.Step()
	}
	step := least * max(1, 2*p.perLevel/chancePlaces/least)
	first := p.perLevel - step*((p.perLevel-2)/step)
	for n := first; n <= 2*p.perLevel; n += step {
		if err := k.ctx.Err(); err != nil {
			return nil, err
		}
		s, err := p.model.At(n)
		var e *plan.Error
		if errors.As(err, &e) && (e.Code == "too-few-specimens" || e.Code == "out-of-reach") {
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
