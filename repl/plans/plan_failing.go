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
	short := cmd.Blanks != nil && sizes[0].Chance < o.Model.Wanted && k.Back == nil
	if short {
		if err := o.Shown(k.Context, sizes, seed); err != nil {
			return nil, err
		}
	}
	out, err := bookShares(k, cmd, of, g, sizes, o.Model)
	if err != nil || k.Back != nil {
		return out, err
	}
	out.Analysis.Columns = append(out.Analysis.Columns, o.Columns...)
	findings, err := o.Beside(cmd, sizes[0].PerLevel, inflation)
	if err != nil {
		return nil, err
	}
	if short {
		findings = slices.Insert(findings, 0, wouldShow(of.From.Value, of.To.Value, o.Model.Wanted, sizes[0]))
	}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, findings...)
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
	var shown page.Sentence
	if n >= 2 && sizes[0].Chance < b.Model.Wanted && k.Back == nil {
		if shown, err = b.Shown(k.Context, sizes, seed); err != nil {
			return nil, err
		}
	}
	for i := range sizes {
		sizes[i].Detectable = math.Expm1(sizes[i].Detectable)
	}
	what := func(c frames.Column) page.Sentence {
		return page.Say("to show that one level would carry ", page.Share(share), " more "+session.InSentence(c)+
			" than another before "+b.Called())
	}
	out, err := bookCounted(k, cmd, g, sizes, withoutSD(cmd), breaksTable(b.Model.Wanted),
		session.Plan{Response: b.Response.Column.Name, Model: b.Model, Aim: what})
	if err != nil || k.Back != nil {
		return out, err
	}
	out.Analysis.Columns = append(out.Analysis.Columns, append(b.Columns, b.Mode.Column.Column)...)
	findings, seen, err := b.Beside(of.A.Column)
	if err != nil {
		return nil, err
	}
	if shown != nil {
		findings = slices.Insert(findings, 0, shown)
	}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, findings...)
	k.Entry.Values = append(k.Entry.Values, page.ValuesOf(breaksPlanFigures{seen}, nil)...)
	return out, nil
}

// breaksTable is the table of sizes without its rows.
func breaksTable(wanted float64) page.Table {
	t := planTableOf(false)
	t.Note = append(t.Note, page.Say("; detectable: by how much more one level would have to carry for a chance of ",
		page.Share(wanted))...)
	return t
}

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
