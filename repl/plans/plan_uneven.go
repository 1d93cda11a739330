package plans

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/pricing"
)

// uneven is a plan of one factor whose levels have numbers of their own, given or the cheapest.
type uneven struct {
	*pilot
	means      plan.Means
	what       func(frames.Column) page.Sentence
	at         []int     // of the levels that are planned, their place among all
	names      []string  // of these
	cost       []float64 // of a specimen of each; nil: not given
	unit       string    // of the costs
	model      plan.Uneven
	size       plan.UnevenSize
	cheap      *plan.Split    // nil: the numbers were given
	worth      page.Num       // the smallest difference worth having; Value on the response's own scale 0: not known
	modelWorth float64        // the same on the scale that the model plans on
	perCost    *pricing.Price // that it was worked out from; nil without one
}

// unevenly reports whether levels have numbers of their own in a plan, or costs.
func unevenly(of phrase.PlanMeans) bool {
	return of.Costing != nil || of.With != nil && of.With.All == nil
}

// targetDifference is the difference that a plan is for: the one named, else that which pays for what the levels cost
// more, else the smallest worth having; percent says whether it was a percentage of the mean.
func targetDifference(k *session.Call, g *pilot, of phrase.PlanMeans) (delta float64, percent bool, err error) {
	if d := of.Detecting; d != nil {
		delta, err = shareOrAmount(k, *d, g)
		return delta, d.Percent && !g.response.Logged(), err
	}
	price, err := pricing.Of(k, g.response, of.Costing)
	if err != nil {
		return 0, false, err
	}
	worth, _, err := worthHaving(k, g, of, price)
	if err == nil && !(worth > 0) {
		err = page.Refuse(page.CodeNoWorth, of.Y.At, "nothing says which difference in "+g.response.Name()+
			" is worth having", "name it: detecting 10%")
	}
	return worth, false, err
}

// worthHaving is the smallest difference worth having, as the model takes it and as it is said: with a price, what
// the smallest extra cost of a level has to bring.
func worthHaving(k *session.Call, g *pilot, of phrase.PlanMeans, price *pricing.Price) (float64, page.Num, error) {
	if price == nil {
		w, err := k.WorthOf(g.response)
		return w.Value, page.Num{Value: w.Said.Value, Unit: w.Said.Unit, Style: w.Said.Style}, err
	}
	extra := math.Inf(1)
	for i, a := range of.Costing.List {
		for _, b := range of.Costing.List[:i] {
			if d := math.Abs(a.Price - b.Price); d > 0 {
				extra = math.Min(extra, d)
			}
		}
	}
	if math.IsInf(extra, 1) {
		return 0, page.Num{}, page.Refuse(page.CodeOneCost, of.Costing.At,
			"all levels cost the same, so a price has nothing to judge", "leave the price out, or name two costs")
	}
	return price.Value * extra, page.Difference(price.Value*extra, g.response.Unit()), nil
}

// planUneven plans for a difference of means with numbers, or costs, of each level.
func planUneven(k *session.Call, cmd *phrase.Plan, of phrase.PlanMeans, u *uneven) (*session.Outcome, error) {
	if err := u.read(k, cmd, of); err != nil {
		return nil, err
	}
	var err error
	if u.model.N[0] == 0 {
		split, err := u.model.Cheapest(u.cost)
		if err != nil {
			return nil, planProblem(cmd.Subject, err)
		}
		u.cheap, u.model.N = &split, split.N
	}
	if u.size, err = u.model.Given(); err != nil {
		return nil, u.problem(of, err)
	}
	k.Entry.Findings = []page.Sentence{u.sentence()}
	for i := range u.mains {
		u.mains[i].Finding = u.sentence()
	}
	if err := u.fill(k, of); err != nil {
		return nil, err
	}
	kept := session.Plan{Response: u.response.Column.Name, Factors: u.pilot.names(), Levels: [][]string{u.names},
		PerLevel: u.size.N, Each: u.model.N, Blocks: u.model.Blocks, Model: u.model, Of: u.response.Column, Aim: u.what,
		Finding: say.Plan{What: u.what(u.response.Medians()), PerLevel: u.size.N, N: u.size.N, Chance: u.size.Chance,
			Wanted: u.model.Wanted, SD: u.model.SD, HighSD: u.model.HighSD, HighChance: u.size.ChanceHighSpread,
			Unit: u.response.Unit(), Logged: u.response.Logged()}}
	if u.blocks != nil {
		kept.Block = u.blocks.column
	}
	out := session.Untested(u.sample, u.response, u.knows(), u.mains)
	return out.Keeping(session.Result{Columns: kept.Factors, Plan: &kept}), nil
}

// read takes the levels with their numbers and costs from the command.
func (u *uneven) read(k *session.Call, cmd *phrase.Plan, of phrase.PlanMeans) error {
	place := 0
	counts, costs := map[string]int{}, map[string]float64{}
	var refs []phrase.LevelRef
	if of.With != nil {
		place = of.With.At
		for _, one := range of.With.List {
			refs, counts[one.Level.Level] = append(refs, one.Level), one.N.Value
		}
	}
	if of.Costing != nil {
		u.unit = pricing.Unit(of.Costing)
		for _, one := range of.Costing.List {
			costs[one.Level.Level] = one.Price
			if of.With == nil || of.With.All != nil {
				refs = append(refs, one.Level)
			}
		}
		if place == 0 {
			place = of.Costing.At
		}
	}
	factor := u.factors[0].Column
	switch {
	case of.B != nil:
		return page.Refuse(page.CodeTwoFactors, of.B.At,
			"numbers and costs of each level are planned for one factor, and here are two",
			"plan for "+factor+" alone, or for as many of every combination")
	case cmd.Blanks != nil:
		return page.Refuse(page.CodeTwoNumbers, cmd.Blanks.At,
			"numbers or costs of the levels are given, or the blanks there are, but not both", "leave one of them out")
	case of.Stages != nil || of.Evenly:
		return page.Refuse(page.CodeTwoWays, place,
			"a plan with numbers or costs of the levels is made all at once, and not in stages",
			"leave the stages out, or plan as many of every level")
	case len(refs) < 2:
		return page.Refuse(page.CodeFewLevels, place, "two levels of "+factor+
			" are needed to plan a comparison, and one is named",
			"name each with its number, such as 8 LEVEL, 12 LEVEL")
	}
	for _, ref := range refs {
		if !slices.Contains(u.named[0], ref.Level) {
			return page.Refuse(page.CodeNoSpecimens, ref.At, "no specimen used here has "+factor+" "+ref.Level, "")
		}
		if _, priced := costs[ref.Level]; of.Costing != nil && !priced {
			return page.Refuse(page.CodeNoCost, of.Costing.At, "what a specimen with "+factor+" "+ref.Level+
				" costs is not given", "name it as well")
		}
	}
	for i, name := range u.named[0] {
		if !slices.ContainsFunc(refs, func(r phrase.LevelRef) bool { return r.Level == name }) {
			continue
		}
		n := counts[name]
		if of.With != nil && of.With.All != nil {
			n = of.With.All.Value
		}
		if of.With != nil && n < 1 {
			return page.Refuse(page.CodeOutOfRange, place, "a level of no specimens cannot be compared",
				"leave "+name+" out, or give it some")
		}
		u.at, u.names, u.model.N = append(u.at, i), append(u.names, name), append(u.model.N, n)
		if of.Costing != nil {
			u.cost = append(u.cost, costs[name])
		}
	}
	m := u.means
	u.means.Levels = []int{len(u.names)}
	u.model = plan.Uneven{N: u.model.N, Delta: m.Delta, SD: m.SD, HighSD: m.HighSD, Confidence: m.Confidence,
		Wanted: m.Wanted, Blocks: m.Blocks, Others: m.Others}
	var err error
	if u.perCost, err = pricing.Of(k, u.response, of.Costing); err == nil {
		u.modelWorth, u.worth, err = worthHaving(k, u.pilot, of, u.perCost)
	}
	return err
}

// problem puts an error about the numbers given into words.
func (u *uneven) problem(of phrase.PlanMeans, err error) error {
	var e *plan.Error
	at := 0
	if of.With != nil {
		at = of.With.At
	}
	if errors.As(err, &e) {
		switch e.Code {
		case "uneven-blocks":
			each := u.means.Blocks.Each
			return page.Refuse(page.CodeUnevenBlocks, at, fmt.Sprintf("as in this series, each %s is of one level "+
				"and gives %d specimens, so numbers that are no multiple of %d cannot be made", u.blocks.column, each,
				each), fmt.Sprintf("give multiples of %d", each))
		case "too-few-specimens":
			return page.Refuse(page.CodeOutOfRange, at, "so few specimens leave nothing to judge them by",
				"give more of each level")
		}
	}
	return planProblem(of, err)
}

func (u *uneven) price(n []int) float64 {
	sum := 0.0
	for i, c := range u.cost {
		sum += c * float64(n[i])
	}
	return sum
}

// sentence tells the numbers, what they are for, and with what chance.
func (u *uneven) sentence() page.Sentence {
	s := page.Say("Make ")
	for i, name := range u.names {
		s = page.Say(s, joint(i, len(u.names)), u.model.N[i], " of "+u.level(name))
	}
	s = page.Say(s, ", ", u.size.N, " in all", page.If(u.cost != nil, " for ",
		pricing.Said(u.price(u.model.N), u.unit)))
	if u.size.Blocks > 0 && u.blocks.number < u.sample.Frame.Len() {
		s = page.Say(s, ", from ", u.size.Blocks, " values of "+u.blocks.column)
	}
	s = page.Say(s, ", ", u.what(u.response.Medians()), ": the chance is ", page.Share(u.size.Chance),
		page.If(u.size.Chance < u.model.Wanted, ", less than the ", page.Share(u.model.Wanted), " asked for"),
		", with a spread (sd) of ", page.Difference(u.model.SD, u.response.Unit()),
		page.If(u.response.Logged(), " on the logarithm"))
	if u.blocks != nil && u.blocks.known && u.blocks.between > 0 {
		s = append(s, page.Word(" within one "+u.blocks.column))
	}
	return append(s, page.Word("."))
}

// joint is what stands before the i-th of n things in a row.
func joint(i, n int) string {
	switch i {
	case 0:
		return ""
	case n - 1:
		return " and "
	}
	return ", "
}

// level is a level in a sentence: a number never touches a number.
func (u *uneven) level(name string) string { return u.factors[0].Column + " " + u.levelName(name) }

// levelName is a level without its factor.
func (u *uneven) levelName(name string) string {
	if c, ok := u.sample.Frame.Column(u.factors[0].Column); ok && !c.Unit.None() {
		name += " " + c.Unit.String()
	}
	return name
}

// fill adds what follows the main finding: what the split saves, what the numbers would say, and the tables.
func (u *uneven) fill(k *session.Call, of phrase.PlanMeans) error {
	if k.Back != nil {
		return nil
	}
	rows, findings, err := u.answers(k)
	if err != nil {
		return err
	}
	k.Entry.Find(u.saved(), u.priced())
	k.Entry.Find(findings...)
	if of.Fit != nil && of.With == nil {
		plain, err := u.without(k, of, u.means)
		if err != nil {
			return err
		}
		k.Entry.Find(plain)
	}
	high := say.Plan{HighSD: u.model.HighSD, Unit: u.response.Unit(), HighChance: u.size.ChanceHighSpread,
		Blocks: u.blocks.layout(u.pilot)}
	k.Entry.Find(u.laidOut(), u.leftOut(), high.IfSpreadHigh())
	if u.blocks != nil && !u.blocks.known {
		k.Entry.Warn(blocksUnknown(u.blocks.column))
	}
	k.Entry.Tables = append(k.Entry.Tables, u.splitTable(), u.pairTable())
	if len(rows) > 0 {
		t := answersTable(rows, u.response.Unit())
		t.Second = true
		k.Entry.Tables = append(k.Entry.Tables, t)
	}
	sizes, err := u.sizeTable()
	if err != nil {
		return err
	}
	k.Entry.Tables = append(k.Entry.Tables, sizes)
	k.Entry.Values = page.ValuesOf(u.figures(), page.Names{"y": u.response.Unit(), "c": u.unit})
	return nil
}

// priced says where the size worth having comes from, with a price; nil without one.
func (u *uneven) priced() page.Sentence {
	if u.perCost == nil {
		return nil
	}
	return page.Say(u.worth, " is what the smallest extra cost of a level, ",
		pricing.Said(u.worth.Value/u.perCost.Value, u.unit), ", has to bring at ",
		page.Difference(u.perCost.Value, u.response.Unit()), " per "+pricing.Per(u.unit)+".")
}

// saved sets the cheapest split beside as many of every level; nil where the numbers were given.
func (u *uneven) saved() page.Sentence {
	if u.cheap == nil {
		return nil
	}
	cost := func(x float64) page.Num { return pricing.Said(x, u.unit) }
	if u.cheap.Cost >= u.cheap.EqualCost {
		return page.Say("No other numbers that reach this cost less than as many of every level.")
	}
	s := page.Say("As many of every level would be ", u.cheap.Equal, " of each, ", u.cheap.Equal*len(u.names),
		" in all, for ", cost(u.cheap.EqualCost), ": the split saves ", cost(u.cheap.EqualCost-u.cheap.Cost), " (",
		page.Share(1-u.cheap.Cost/u.cheap.EqualCost), ")")
	if !u.cheap.Whole {
		s = append(s, page.Word(". Of the splits that were looked at it is the cheapest; within each "+u.blocks.column+
			" an uneven one gives up a part of the comparison"))
	}
	return append(s, page.Word("."))
}

// laidOut says how the specimens come from blocks; nil without any.
func (u *uneven) laidOut() page.Sentence {
	switch {
	case u.blocks == nil || u.blocks.number == u.sample.Frame.Len():
		return nil
	case u.blocks.anyWhole():
		l := u.blocks.layout(u.pilot)
		l.Blocks, l.Unit = u.size.Blocks, u.response.Unit()
		return l.Sentence()
	}
	return page.Say("Each " + u.blocks.column + " gives specimens to all levels, in these proportions as nearly as " +
		"whole specimens allow.")
}

// leftOut names the levels that are not planned; nil where all are.
func (u *uneven) leftOut() page.Sentence {
	planned := func(name string) bool { return slices.Contains(u.names, name) }
	unplanned := slices.DeleteFunc(slices.Clone(u.named[0]), planned)
	if len(unplanned) == 0 {
		return nil
	}
	all := ""
	for i, name := range unplanned {
		all += joint(i, len(unplanned)) + u.level(name)
	}
	return page.Say("No specimens are planned of " + all + say.Plural(len(unplanned), ": it is not compared.",
		": they are not compared."))
}
