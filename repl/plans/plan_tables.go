package plans

import (
	"math"

	"breakbook/models/dist"
	"breakbook/models/plan"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// blocksUntold warns that a plan counts specimens since nothing tells of their blocks.
func blocksUntold(block string) page.Sentence {
	return page.Say("The numbers count specimens as if each stood for itself, for these specimens do not tell how much one " + block +
		" differs from the next. With levels made from few values of " + block + " the chance is smaller than is said here.")
}

// planTableOf is the empty table of sizes; detectable has the unit and style given.
func planTableOf(unit string, style page.Style, both bool) page.Table {
	note := page.Say("the first row is the plan, the others what fewer or more would give; chance: the smaller of that of the test of all levels and that of the pair's own, with two levels that far apart and the rest midway; chance if spread high: were the spread at its ",
		page.Num{Value: highSpread, Style: page.Fraction}, " upper limit")
	if !both {
		note = page.Say("the first row is the plan, the others what fewer or more would give")
	}
	return page.Table{ID: "sizes", Title: page.Say("How many specimens"), Note: note,
		Columns: []page.Column{{ID: "n_per_level", Style: page.Count}, {ID: "n", Style: page.Count}, {ID: "chance", Style: page.Fraction},
			{ID: "chance_overall", Style: page.Fraction}, {ID: "chance_pair", Style: page.Fraction},
			{ID: "detectable", Unit: unit, Style: style}, {ID: "chance_if_spread_high", Style: page.Fraction}}}
}

// bookPlan tells the plan and keeps it.
func bookPlan(k *session.Call, cmd *phrase.Plan, g *ground, sizes []plan.Size, told say.Plan, t page.Table, kept session.Plan) (*session.Outcome, error) {
	if told.Blocks != nil {
		t.Columns = append(t.Columns, page.Column{ID: "blocks", Style: page.Count})
		told.Blocks.Blocks, told.Blocks.Unit, kept.Block = sizes[0].Blocks, told.Unit, told.Blocks.Block
		t.Note = append(t.Note, page.Word("; blocks: values of "+told.Blocks.Block))
	}
	for _, s := range sizes {
		row := []page.Cell{page.N(float64(s.PerLevel)), page.N(float64(s.N)), page.N(s.Chance), page.N(s.Overall),
			page.N(s.Pair), page.N(s.Detectable), page.N(s.ChanceHighSpread)}
		if told.Blocks != nil {
			row = append(row, page.N(float64(s.Blocks)))
		}
		t.Rows = append(t.Rows, row)
	}
	own := sizes[0]
	told.PerLevel, told.N, told.Chance, told.HighChance = own.PerLevel, own.N, own.Chance, own.ChanceHighSpread
	told.Blanks = cmd.Blanks != nil
	kept.Told = told
	k.Entry.Tables = []page.Table{t}
	k.Entry.Findings = []page.Sentence{told.Sentence()}
	k.Entry.Values = []page.Value{session.ValueOf("n_per_level", float64(own.PerLevel), page.Count, ""), session.ValueOf("n", float64(own.N), page.Count, ""),
		session.ValueOf("chance", own.Chance, page.Fraction, "")}
	if !math.IsNaN(told.SD) {
		k.Entry.Values = append(k.Entry.Values, session.ValueOf("sd", told.SD, page.Plain, told.Unit))
	}
	if b := told.Blocks; b != nil {
		k.Entry.Findings = append(k.Entry.Findings, b.Sentence())
		k.Entry.Values = append(k.Entry.Values, session.ValueOf("blocks", float64(b.Blocks), page.Count, ""))
		if b.Known && !b.Singles && !b.OneEach {
			k.Entry.Values = append(k.Entry.Values, session.ValueOf("block_sd", b.SD, page.Plain, told.Unit))
		}
		if !b.Known && !b.Singles && !b.OneEach {
			k.Entry.Cautions = append(k.Entry.Cautions, blocksUntold(b.Block))
		}
	}
	if s := told.IfSpreadHigh(); s != nil {
		k.Entry.Findings = append(k.Entry.Findings, s)
	}
	for i := range g.mains {
		g.mains[i].Told = told.Sentence()
	}
	return session.Rested(g.sample, g.response, kept.Factors, g.mains).Keeping(session.Result{Columns: kept.Factors, Plan: &kept}), nil
}

// restOn says what of the series the plan rests on: its spread, or where that is given
// and a percentage is asked for, the mean of the baseline.
func restOn(k *session.Call, g *ground, given, percent bool) {
	if !given {
		g.mains = []session.Answer{{Key: "spread", Gap: say.Gap{Value: g.sd,
			Range: verdict.Range{Low: plan.HighSpread(g.sd, g.df, 0.025), High: plan.HighSpread(g.sd, g.df, 0.975)}}}}
		return
	}
	if percent && g.df >= 1 {
		half := dist.TQuantile(0.975, g.df) * g.sd / math.Sqrt(float64(g.baseN))
		g.mains = []session.Answer{{Key: "mean", Gap: say.Gap{Value: g.base, Range: verdict.Range{Low: g.base - half, High: g.base + half}}}}
	}
}
