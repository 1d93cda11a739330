package plans

import (
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/plans/failing"
	"breakbook/repl/session"
)

// carryingMore is the aim of a plan for the strength of one failure mode.
func carryingMore(measure string, mode string, share float64) page.Sentence {
	return page.Say("to show that one level would carry ", page.Share(share),
		" more "+measure+" than another before "+mode)
}

// planBreaks plans for a difference in the strength of one failure mode, by an earlier fit of it.
func planBreaks(k *session.Call, cmd *phrase.Plan, of phrase.PlanMeans) (*session.Outcome, error) {
	if err := plainBreaks(cmd, of); err != nil {
		return nil, err
	}
	b, err := failing.ReadBreaks(k, of)
	if err != nil {
		return nil, err
	}
	g, err := failingPilot(k, &b.Pilot, of.A)
	if err != nil {
		return nil, err
	}
	share, err := b.Share(k, of)
	if err != nil {
		return nil, err
	}
	b.Model.Delta, b.Model.Confidence, b.Model.Wanted = math.Log1p(share), k.Confidence(), wanted(cmd)
	seed := k.Session.Settings().Seed
	n := 0
	if cmd.Blanks != nil {
		n = cmd.Blanks.Value / b.Model.Levels
	} else if with := cmd.PerLevel(); with != nil {
		n = with.Value
	}
	switch {
	case n >= 2:
		b.Model, err = b.Model.Tried(k.Context, n, seed)
	case cmd.Blanks == nil && cmd.PerLevel() == nil:
		b.Model, err = b.Model.TriedLeast(k.Context, seed)
	}
	if err != nil {
		return nil, planProblem(of, b.Problem(of, err))
	}
	sizes, err := sizes(k, cmd, b.Model, b.Model.Levels, 1)
	if err != nil {
		return nil, err
	}
	for i := range sizes {
		sizes[i].Detectable = math.Expm1(sizes[i].Detectable)
	}
	what := func(c frames.Column) page.Sentence { return carryingMore(session.InSentence(c), b.Called(), share) }
	out, err := bookCounted(k, cmd, g, sizes, withoutSD(cmd), planTableOf(b.Model.Levels == 2),
		session.Plan{Response: b.Response.Column.Name, Model: b.Model, Aim: what})
	if err != nil || k.Back != nil {
		return out, err
	}
	out.Analysis.Columns = append(out.Analysis.Columns, append(b.Columns, b.Mode.Column.Column)...)
	told, seen, err := b.Beside(of.A.Column)
	if err != nil {
		return nil, err
	}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, told...)
	k.Entry.Values = append(k.Entry.Values, page.ValuesOf(breaksPlanFigures{seen}, nil)...)
	return out, nil
}

// breaksPlanFigures are the figures of a plan of the strength of one failure mode.
type breaksPlanFigures struct {
	Seen float64 `id:"share_seen" style:"fraction" label:"expected share that fails so"`
}

// plainBreaks refuses what a plan of the strength of one failure mode cannot be asked.
func plainBreaks(cmd *phrase.Plan, of phrase.PlanMeans) error {
	at, what := 0, ""
	switch {
	case of.B != nil:
		at, what = of.B.At, "for two factors together"
	case of.Costing != nil:
		at, what = of.Costing.At, "by what its levels cost"
	case of.With != nil && of.With.All == nil:
		at, what = of.With.At, "with a number for each level"
	case of.Stages != nil || of.Evenly:
		at, what = of.Fit.At, "in stages"
	case cmd.Spread != nil:
		at, what = cmd.Spread.At, "with another spread than its own"
	default:
		return nil
	}
	return page.Refuse(page.CodeTwoWays, at, "a plan of "+of.Fit.Text+
		", the strength of one failure mode, cannot be made "+what, "leave that out")
}
