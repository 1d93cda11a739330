package plans

import (
	"slices"

	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// withinFindings says what a plan is for where a factor may act in another way at each level of another: of
// two factors planned together how many it takes to show the difference within one level of the
// other, with that size; of one factor which an earlier fit tells within the levels of others, that
// the plan averages over these, and the line that does not.
func withinFindings(k *session.Call, cmd *phrase.Plan, g *pilot, kept session.Plan) ([]page.Sentence, *plan.Size,
	error) {
	m, ok := kept.Model.(plan.Means)
	if staged, in := kept.Model.(plan.Stages); in {
		m, ok = staged.Means, true
	}
	if !ok || k.Back != nil {
		return nil, nil, nil
	}
	if len(g.factors) == 2 {
		return planWithinLevels(m, g)
	}
	means, _ := cmd.Subject.(phrase.PlanMeans)
	of := combinedIn(k, g, means.Fit)
	if of == nil {
		return nil, nil, nil
	}
	factor := g.names()[0]
	s := page.Say("In "+of.name+", what "+factor+" does depends on "+say.Listed(of.partners)+
		"; this plan is for the difference averaged over ", say.Plural(len(of.partners), "it", "them"), ".")
	if c, ok := g.sample.Whole.Column(of.partners[0]); ok && len(c.Levels) > 0 && len(of.partners) == 1 {
		again := *cmd
		again.Clauses.As, means.B = nil, &phrase.ColumnRef{Column: c.Name}
		again.Subject = means
		s = append(s, page.Word(" To plan for each level of "+c.Name+", type: "+phrase.Line(&again)))
	}
	return []page.Sentence{s}, nil, nil
}

// planWithinLevels tells how many specimens show the difference within one level of the other factor.
func planWithinLevels(m plan.Means, g *pilot) ([]page.Sentence, *plan.Size, error) {
	first, second := g.names()[0], g.names()[1]
	s := page.Say("That is a difference between levels of " + first + " averaged over " + second +
		", or the other way round. To show as large a difference of " + first + " within each level of " + second +
		", and of " + second + " within each level of " + first + ", ")
	size, err := m.Within()
	switch {
	case plan.Because(err, "out-of-reach"):
		return []page.Sentence{append(s, page.Word("takes more specimens than a workshop can make."))}, nil, nil
	case err != nil:
		return nil, nil, err
	}
	s = page.Say(s, "make ", size.PerLevel, " specimens of each of the "+g.called()+", ", size.N, " in all")
	if size.Blocks > 0 && g.blocks != nil && g.blocks.known && size.Blocks < size.N {
		s = page.Say(s, ", from ", size.Blocks, " values of "+g.blocks.column)
	}
	return []page.Sentence{append(s, page.Word("."))}, &size, nil
}

// combined is an earlier fit in which a factor is told within the levels of others.
type combined struct {
	name     string
	partners []string
}

// combinedIn is the plan's own fit, else the latest of its response, where that tells its factor within others; nil for
// none.
func combinedIn(k *session.Call, g *pilot, own *phrase.Name) *combined {
	if len(g.factors) != 1 {
		return nil
	}
	all := k.Session.Results()
	slices.Reverse(all)
	for _, known := range all {
		if own != nil && known.Name != own.Text {
			continue
		}
		r, _ := k.Session.Result(known.Name)
		f, ok := fitted.Of(r)
		if !ok || r.Series != g.sample.Series || f.Y.Name() != g.response.Name() {
			continue
		}
		v := slices.Index(f.Columns(), g.names()[0])
		if v < 0 {
			continue
		}
		partners, err := fitted.PartnersOf(k, f, v, k.Confidence())
		if err != nil || len(partners.Settings) == 0 {
			return nil
		}
		return &combined{r.Name, partners.Names()}
	}
	return nil
}
