package plans

import (
	"math"
	"slices"

	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// pilotOf reads what a plan of a fit is calculated from: the fit's specimens, the spread that its terms leave
// and, with blocks, its parts within and between them.
func pilotOf(k *session.Call, cmd *phrase.Plan, of phrase.PlanMeans) (*pilot, error) {
	y, factors := of.Y, of.Categories()
	f, err := fitted.Named(k, *of.Fit)
	if err != nil {
		return nil, err
	}
	name := of.Fit.Text
	if cmd.Spread != nil {
		return nil, page.Refuse(page.CodeTwoSpreads, cmd.Spread.At, "the spread is that which "+name+
			" leaves, or the one given here, but not both", "leave one of them out")
	}
	if cmd.For != nil {
		return nil, page.Refuse(page.CodeTwoSamples, cmd.For.Place(), name+
			" has its own specimens, and a plan of it goes by those", "leave the condition out, or fit again with it")
	}
	if _, r, err := k.Measured(y); err != nil {
		return nil, err
	} else if r.Name() != f.Y.Name() {
		return nil, page.Refuse(page.CodeOtherResponse, y.At, name+" is a fit of "+f.Y.Name()+
			", and leaves no spread of "+r.Name(), "fit "+r.Name()+" first")
	}
	if f.Method.Resistant || f.Method.Weight.Column != "" {
		return nil, page.Refuse(page.CodeNoSpread, of.Fit.At, name+
			" is weighted or resistant, and has no one spread to plan with", "fit it without, or give a spread")
	}
	g := &pilot{factors: factors, sample: f.Sample, response: f.Y, fit: f, sd: f.Sigma, baseN: f.N,
		base: session.Means([][]float64{f.Y.Values})[0]}
	g.terms = f.Rank()
	g.df, g.others = float64(f.N-g.terms), g.terms-1
	for _, one := range factors {
		if !slices.Contains(f.Columns(), one.Column) {
			return nil, page.Refuse(page.CodeNotInFit, one.At, one.Column+" is not in "+name+
				", so that its spread holds what "+one.Column+" does", "plan of a fit with "+one.Column+" in it")
		}
		if err := f.TakenAsNumber(k, one, name); err != nil {
			return nil, err
		}
		if err := g.readLevels(k, one); err != nil {
			return nil, err
		}
		g.others -= len(g.named[len(g.named)-1]) - 1
	}
	g.others = max(0, g.others)
	if !(g.sd > 0) || g.df < 1 {
		return nil, page.Refuse(page.CodeNoSpread, of.Fit.At, name+" leaves no spread to plan with",
			"give it: spread 12%")
	}
	g.blocks, err = blocked(k, g)
	return g, err
}

// knows are the columns that the plan allows for.
func (g *pilot) knows() []string {
	out := g.names()
	if g.fit != nil {
		out = append(out, g.fit.Columns()...)
		for _, b := range g.fit.Method.Blocks {
			out = append(out, b.Column.Column)
		}
	}
	return out
}

// without tells the plan as it would be with the spread that the levels alone leave; nil where there is none, where
// the fit has no other terms, and where it counts boards that the levels alone do not.
func (g *pilot) without(k *session.Call, of phrase.PlanMeans, m plan.Means) (page.Sentence, error) {
	marked := session.MarkedBlocks(g.sample.Frame)
	if g.others == 0 || slices.ContainsFunc(g.fit.Method.Blocks, func(b phrase.BlockRef) bool {
		return !slices.Contains(marked, b.Column.Column)
	}) {
		return nil, nil
	}
	plain, err := readPilot(k, of.Y, g.factors)
	if err != nil {
		return nil, nil // the levels alone do not tell: there is nothing to set beside
	}
	if err := k.Context.Err(); err != nil {
		return nil, err
	}
	out := say.PlanWithout{Fit: of.Fit.Text, Unit: g.response.Unit(), SD: plain.sd, Residual: m.SD}
	m.Others, m.SD, m.HighSD, m.Blocks = 0, plain.sd, math.NaN(), plain.blocks.model()
	if plain.blocks != nil && plain.blocks.known {
		m.SD, out.SD = plain.blocks.residualSD, plain.blocks.residualSD
	}
	if !(m.SD > 0) {
		return nil, nil
	}
	if s, err := m.Least(); err == nil {
		out.PerLevel, out.N = s.PerLevel, s.N
	}
	return out.Sentence(), nil
}

// answerRow is what a series would say were two levels truly so far apart.
type answerRow struct {
	*answerPair
	Truth   float64 `id:"truth" unit:"{y}" difference:"yes" label:"true difference"`
	Differs float64 `id:"differs" style:"fraction"`
	None    float64 `id:"none_worth" style:"fraction" label:"no difference worth having"`
	Cannot  float64 `id:"cannot_tell" style:"fraction"`
}

// answersAt are the chances of the answers at true differences of none, half of what is worth having and all of it.
func answersAt(worth float64, chances func(truth float64) (plan.Answers, error)) (rows []answerRow, none,
	all plan.Answers, err error) {
	for _, part := range []float64{0, 0.5, 1} {
		if all, err = chances(part * worth); err != nil {
			return nil, none, all, planProblem(nil, err)
		}
		if part == 0 {
			none = all
		}
		rows = append(rows, answerRow{Truth: part * worth, Differs: all.Differs, None: all.None, Cannot: all.Cannot})
	}
	return rows, none, all, nil
}

// wouldSay tells what a series of a number of specimens would say, and the same with the specimens there are.
func wouldSay(k *session.Call, g *pilot, m plan.Means, own plan.Size) error {
	w, err := k.WorthOf(g.response)
	if err != nil || !(w.Value > 0) {
		return err
	}
	with := func(perLevel int) func(float64) (plan.Answers, error) {
		return func(truth float64) (plan.Answers, error) { return m.Answers(perLevel, truth, w.Value) }
	}
	rows, none, all, err := answersAt(w.Value, with(own.PerLevel))
	if err != nil {
		return err
	}
	answers := say.WouldSay{PerLevel: own.PerLevel, Worth: w.Said, Half: all.Half, Unit: g.response.Unit(),
		AtNone: none.None, AtWorth: all.Differs, Logged: g.response.Logged()}
	if g.blocks == nil { // with blocks, those of two series are no one layout
		least := math.Inf(1)
		for _, one := range g.factors {
			groups, err := k.Groups(g.sample, g.response.Values, one)
			if err != nil {
				return err
			}
			for _, l := range groups {
				least = math.Min(least, float64(len(l.Values)*len(groups))/float64(g.cells()))
			}
		}
		if there := int(least); there >= 1 {
			_, none, all, err := answersAt(w.Value, with(own.PerLevel+there))
			if err != nil {
				return err
			}
			answers.There, answers.BothNone, answers.BothWorth = there, none.None, all.Differs
		}
	}
	k.Entry.Findings = slices.Insert(k.Entry.Findings, 1, answers.Sentences()...)
	k.Entry.Tables = append(k.Entry.Tables, answersTable(rows, g.response.Unit()))
	return nil
}

// answersTable has the chance of each answer by the true difference.
func answersTable(rows []answerRow, unit string) page.Table {
	return page.Filled(page.Table{ID: "answers", Title: page.Say("What it would say, by the true difference"),
		Note: page.Say("the chance of each answer; the true differences are none, half of what is worth having, and " +
			"all of it")}, rows, page.Names{"y": unit})
}
