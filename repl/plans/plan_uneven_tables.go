package plans

import (
	"math"

	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// splitRow is how many specimens of a level are made.
type splitRow struct {
	Level string `id:"level"`
	N     int    `id:"n"`
	*splitCost
}

// splitCost is what they cost.
type splitCost struct {
	Cost float64 `id:"cost" unit:"{c}"`
}

// planPairRow is what a plan gives for two levels.
type planPairRow struct {
	First      string  `id:"first"`
	Second     string  `id:"second"`
	Chance     float64 `id:"chance" style:"fraction"`
	Detectable float64 `id:"detectable" unit:"{y}" difference:"yes"`
	Half       float64 `id:"half" unit:"{y}" difference:"yes" label:"half of the interval"`
}

// answerPair names the levels that an answer is about.
type answerPair struct {
	First  string `id:"first"`
	Second string `id:"second"`
}

// planCost is what all specimens cost.
type planCost struct {
	Total float64 `id:"cost" unit:"{c}" label:"total cost"`
}

// equalCost is how many of each level, were they all as many, reach the same, and for what.
type equalCost struct {
	EqualPerLevel int     `id:"equal_n_per_level" label:"n per level, as many of each"`
	EqualN        int     `id:"equal_n" label:"n, as many of each"`
	EqualTotal    float64 `id:"equal_cost" unit:"{c}" label:"total cost, as many of each"`
}

func (u *uneven) splitTable() page.Table {
	var rows []splitRow
	for i, name := range u.names {
		r := splitRow{Level: name, N: u.model.N[i]}
		if u.cost != nil {
			r.splitCost = &splitCost{u.cost[i] * float64(u.model.N[i])}
		}
		rows = append(rows, r)
	}
	return page.Filled(page.Table{ID: "split", Title: page.Say("Specimens of each level of " + u.factors[0].Column)},
		rows, page.Names{"c": u.unit})
}

func (u *uneven) pairTable() page.Table {
	var rows []planPairRow
	for _, p := range u.size.Pairs {
		rows = append(rows, planPairRow{u.names[p.First], u.names[p.Second], p.Chance, p.Detectable, p.Half})
	}
	return page.Filled(page.Table{ID: "pairs", Title: page.Say("What each pair of levels would show"), Second: true,
		Note: page.Say("chance: of the pair's own test for the difference planned for; detectable: the smallest true "+
			"difference with a chance of ", page.Share(u.model.Wanted),
			"; half of the interval: how far it reaches either way, as expected")}, rows,
		page.Names{"y": u.response.Unit()})
}

// answers are the chances of the answers about every pair, at true differences of none, half of what is worth
// having and all of it, and what is said of the pair that is distinguished least; nothing where no such size is known.
func (u *uneven) answers(k *session.Call) (rows []answerRow, findings []page.Sentence, err error) {
	if !(u.modelWorth > 0) {
		return nil, nil, nil
	}
	var worst plan.Pair
	var atNone, atWorth plan.Answers
	for _, p := range u.size.Pairs {
		if err := k.Context.Err(); err != nil {
			return nil, nil, err
		}
		some, none, all, err := answersAt(u.modelWorth, func(truth float64) (plan.Answers, error) {
			return u.model.Answers(p.First, p.Second, truth, u.modelWorth)
		})
		if err != nil {
			return nil, nil, err
		}
		for _, r := range some {
			if len(u.names) > 2 {
				r.answerPair = &answerPair{u.names[p.First], u.names[p.Second]}
			}
			rows = append(rows, r)
		}
		if p.Half > worst.Half {
			worst, atNone, atWorth = p, none, all
		}
	}
	s := page.Say("Between "+u.levelName(u.names[worst.First])+" and "+u.levelName(u.names[worst.Second]),
		page.If(len(u.names) > 2, ", the pair told least,"), " they would tell a difference to about ",
		page.Difference(worst.Half, u.response.Unit()), " either way",
		page.If(u.response.Logged(), " on the logarithm"),
		". A true one of ", u.worth, " would be seen in ", page.Share(atWorth.Differs),
		" of such series; where there is none, ", page.Share(atNone.None), " would say that none is worth having.")
	both, err := u.together(k, worst)
	return rows, []page.Sentence{s, both}, err
}

// together says what this series and the planned one give as one; nil with blocks, of which those of two series
// are no one layout, and where this one has no specimens of a level.
func (u *uneven) together(k *session.Call, worst plan.Pair) (page.Sentence, error) {
	if u.blocks != nil {
		return nil, nil
	}
	groups, err := k.Groups(u.sample, u.response.Values, u.factors[0])
	if err != nil {
		return nil, err
	}
	all := u.model
	all.N = nil
	there := page.Sentence{}
	for i, at := range u.at {
		n := len(groups[at].Values)
		all.N = append(all.N, u.model.N[i]+n)
		there = page.Say(there, joint(i, len(u.at)), n, " of "+u.levelName(u.names[i]))
	}
	_, none, seen, err := answersAt(u.modelWorth, func(truth float64) (plan.Answers, error) {
		return all.Answers(worst.First, worst.Second, truth, u.modelWorth)
	})
	return page.Say("Taken as one series with the ", there, " that there are: ", page.Share(seen.Differs), " and ",
		page.Share(none.None), ", told to about ", page.Difference(seen.Half, u.response.Unit()), " either way."), err
}

// sizeTable is what fewer or more specimens in the same proportions would give, the plan's own first.
func (u *uneven) sizeTable() (page.Table, error) {
	var rows []sizeRow
	seen := map[int]bool{}
	for _, part := range []float64{1, 0.5, 0.75, 1.25, 1.5, 2} {
		s, err := u.model.At(int(math.Round(part * float64(u.size.N))))
		if plan.Because(err, "too-few-specimens", "out-of-reach") || err == nil && seen[s.N] {
			continue
		}
		if err != nil {
			return page.Table{}, planProblem(nil, err)
		}
		seen[s.N] = true
		rows = append(rows, sizeRow{sizeChances: sizeChances{s.N, s.Chance, s.Overall, s.Pair},
			Detectable: s.Detectable, ChanceIfSpreadHigh: s.ChanceHighSpread})
	}
	return page.Filled(page.Table{ID: "sizes", Title: page.Say("Fewer or more in the same proportions"),
		Second: true, Note: page.Say("the first row is the plan; chance: the smaller of that of the test of all " +
			"levels and that of the pair told least, the other levels where they add least")}, rows,
		page.Names{"y": u.response.Unit()}), nil
}

func (u *uneven) figures() planFigures {
	f := planFigures{N: u.size.N, Chance: u.size.Chance, planSD: &planSD{u.model.SD}}
	if u.size.Blocks > 0 {
		f.sizeBlocks = &sizeBlocks{u.size.Blocks}
	}
	if u.cost != nil {
		f.planCost = &planCost{u.price(u.model.N)}
	}
	if u.cheap != nil {
		f.equalCost = &equalCost{u.cheap.Equal, u.cheap.Equal * len(u.names), u.cheap.EqualCost}
	}
	return f
}
