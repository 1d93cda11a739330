package plans

import (
	"slices"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/plans/failing"
	"breakbook/repl/session"
)

// planOdds plans for a change of the share of a failure mode, judged by a fit of its odds with its other terms.
func planOdds(k *session.Call, cmd *phrase.Plan, of phrase.PlanModes) (*session.Outcome, error) {
	o, err := failing.ReadOdds(k, of)
	if err != nil {
		return nil, err
	}
	g, err := failingPilot(k, &o.Pilot, of.A)
	if err != nil {
		return nil, err
	}
	o.Model.From, o.Model.To, o.Model.Confidence, o.Model.Wanted = of.From.Value, of.To.Value, k.Confidence(),
		wanted(cmd)
	seed := k.Session.Settings().Seed
	if cmd.Blanks == nil {
		o.Model, err = o.Model.TriedLeast(k.Context, seed)
	} else if n := cmd.Blanks.Value / o.Model.Levels; n >= 2 {
		o.Model, err = o.Model.Tried(k.Context, n, seed)
	}
	if err != nil {
		return nil, planProblem(of, o.Problem(of, err))
	}
	sizes, err := sizes(k, cmd, o.Model, o.Model.Levels, 1)
	if err != nil {
		return nil, err
	}
	inflation, err := o.Model.Inflation()
	if err != nil {
		return nil, planProblem(of, o.Problem(of, err))
	}
	out, err := bookShares(k, cmd, of, g, sizes, o.Model)
	if err != nil || k.Back != nil {
		return out, err
	}
	out.Analysis.Columns = append(out.Analysis.Columns, o.Columns...)
	told, err := o.Beside(cmd, sizes[0].PerLevel, inflation)
	if err != nil {
		return nil, err
	}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, told...)
	k.Entry.Values = append(k.Entry.Values, page.ValuesOf(oddsPlanFigures{inflation}, nil)...)
	return out, nil
}

// failingPilot is what a plan about how joints fail shares with the others.
func failingPilot(k *session.Call, p *failing.Pilot, by phrase.ColumnRef) (*pilot, error) {
	g := &pilot{sample: p.Sample, response: p.Response, factors: []phrase.ColumnRef{by}, levels: []int{len(p.Named)},
		named: [][]string{p.Named}}
	var err error
	g.blocks, _, err = g.arranged(k.Context)
	return g, err
}

// oddsPlanFigures are the figures of a plan of earlier odds.
type oddsPlanFigures struct {
	Inflation float64 `id:"inflation" style:"ratio" label:"variance beside that without the other terms"`
}
