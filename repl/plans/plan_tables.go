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

// blocksUnknown warns that a plan counts specimens since nothing is known of their blocks.
func blocksUnknown(block string) page.Sentence {
	return page.Say("The numbers count specimens as if each stood for itself, for these specimens do not tell how " +
		"much one " + block + " differs from the next. With levels made from few values of " + block +
		" the chance is smaller than is said here.")
}

// sizeRow is a number of specimens, and what it would show.
type sizeRow struct {
	*sizePerLevel
	sizeChances
	Detectable         float64 `id:"detectable" unit:"{y}" difference:"yes"`
	ChanceIfSpreadHigh float64 `id:"chance_if_spread_high" style:"fraction"`
	*sizeBlocks
}

// shareSizeRow is a sizeRow of a plan for the share of a mode, and so is what it can detect.
type shareSizeRow struct {
	*sizePerLevel
	sizeChances
	Detectable         float64 `id:"detectable" style:"fraction"`
	ChanceIfSpreadHigh float64 `id:"chance_if_spread_high" style:"fraction"`
	*sizeBlocks
}

// sizeChances is a number of specimens with its chances.
type sizeChances struct {
	N       int     `id:"n"`
	Chance  float64 `id:"chance" style:"fraction"`
	Overall float64 `id:"chance_overall" style:"fraction"`
	Pair    float64 `id:"chance_pair" style:"fraction"`
}

// sizePerLevel is how many are of each combination, where that is one number.
type sizePerLevel struct {
	PerLevel int `id:"n_per_level"`
}

// sizeBlocks is how many blocks the specimens come from, where the plan knows of some.
type sizeBlocks struct {
	Blocks int `id:"blocks"`
}

// planFigures are the figures of the plan's own size.
type planFigures struct {
	*sizePerLevel
	N      int     `id:"n"`
	Chance float64 `id:"chance" style:"fraction"`
	*planSD
	*sizeBlocks
	*planBlockSD
	*planWithin
	*planCost
	*equalCost
	*oddsPlanFigures
	*breaksPlanFigures
	*planStaged
}

// planWithin is how many specimens of each combination show the difference within one level of the
// other factor, where a plan has two.
type planWithin struct {
	PerLevelWithin int `id:"n_per_level_within"`
}

// planSD is what specimens scatter by, where a plan goes by that.
type planSD struct {
	SD float64 `id:"sd" unit:"{y}" difference:"yes"`
}

// planBlockSD is what blocks differ by, where the series tells it.
type planBlockSD struct {
	BlockSD float64 `id:"block_sd" unit:"{y}" difference:"yes"`
}

// planTableOf is the table of sizes without its rows; both tells of a chance of all levels and
// one of a pair.
func planTableOf(both bool) page.Table {
	note := page.Say("the first row is the plan, the others what fewer or more would give; chance: the smaller of "+
		"that of the test of all levels and that of the pair's own, with two levels that far apart and the rest "+
		"midway; chance if spread high: were the spread at its ", page.Share(highSpread), " upper limit")
	if !both {
		note = page.Say("the first row is the plan, the others what fewer or more would give")
	}
	return page.Table{ID: "sizes", Title: page.Say("How many specimens"), Note: note}
}

// sizeTable fills in the rows of sizes.
func sizeTable(t page.Table, sizes []plan.Size, finding say.Plan, ofShares bool) page.Table {
	var rows []sizeRow
	var shares []shareSizeRow
	for _, s := range sizes {
		r := sizeRow{sizePerLevel: &sizePerLevel{s.PerLevel}, sizeChances: sizeChances{s.N, s.Chance, s.Overall,
			s.Pair}, Detectable: s.Detectable, ChanceIfSpreadHigh: s.ChanceHighSpread}
		if finding.Blocks != nil {
			r.sizeBlocks = &sizeBlocks{s.Blocks}
		}
		rows, shares = append(rows, r), append(shares, shareSizeRow(r))
	}
	if ofShares {
		return page.Filled(t, shares, nil)
	}
	return page.Filled(t, rows, page.Names{"y": finding.Unit})
}

// bookCounted is bookPlan of a plan that counts specimens, whatever blocks they come from.
func bookCounted(k *session.Call, cmd *phrase.Plan, g *pilot, sizes []plan.Size, finding say.Plan, t page.Table,
	kept session.Plan) (*session.Outcome, error) {
	if b := g.blocks; b != nil {
		for i := range sizes {
			sizes[i].Blocks = b.wholes(g) * sizes[i].PerLevel
		}
		// A block gives one specimen to every combination, or to one where levels are made from whole blocks.
		kept.Blocks = &plan.Blocks{Each: 1, Whole: b.whole}
		finding.Blocks = b.layout(g)
		finding.Blocks.OneEach, finding.Blocks.Each = true, 1
	}
	return bookPlan(k, cmd, g, sizes, finding, t, kept)
}

// bookPlan tells the plan and keeps it.
func bookPlan(k *session.Call, cmd *phrase.Plan, g *pilot, sizes []plan.Size, finding say.Plan, t page.Table,
	kept session.Plan) (*session.Outcome, error) {
	own := sizes[0]
	kept.Factors, kept.Levels, kept.PerLevel, kept.Of = g.names(), g.named, own.PerLevel, g.response.Column
	finding.What, finding.Factors = kept.Aim(g.response.Medians()), g.called()
	if finding.Blocks != nil {
		finding.Blocks.Blocks, finding.Blocks.Unit, kept.Block = own.Blocks, finding.Unit, finding.Blocks.Block
		t.Note = append(t.Note, page.Word("; blocks: values of "+finding.Blocks.Block))
	}
	finding.PerLevel, finding.N, finding.Chance, finding.HighChance = own.PerLevel, own.N, own.Chance,
		own.ChanceHighSpread
	finding.Blanks = cmd.Blanks != nil || cmd.PerLevel() != nil
	kept.Finding = finding
	t.Second = g.fit != nil || cmd.PerLevel() != nil
	_, ratio := kept.Model.(plan.Breaks)
	k.Entry.Tables = []page.Table{sizeTable(t, sizes, finding, kept.Mode != "" || ratio)}
	k.Entry.Findings = []page.Sentence{finding.Sentence()}
	figures := planFigures{sizePerLevel: &sizePerLevel{own.PerLevel}, N: own.N, Chance: own.Chance}
	if !math.IsNaN(finding.SD) {
		figures.planSD = &planSD{finding.SD}
	}
	if b := finding.Blocks; b != nil {
		k.Entry.Find(b.Sentence())
		figures.sizeBlocks = &sizeBlocks{b.Blocks}
		if b.Known && !b.Singles && !b.OneEach {
			figures.planBlockSD = &planBlockSD{b.SD}
		}
		if !b.Known && !b.Singles && !b.OneEach {
			k.Entry.Warn(blocksUnknown(b.Block))
		}
	}
	findings, size, err := withinFindings(k, cmd, g, kept)
	if err != nil {
		return nil, err
	}
	if size != nil {
		figures.planWithin = &planWithin{size.PerLevel}
	}
	k.Entry.Values = page.ValuesOf(figures, page.Names{"y": finding.Unit})
	k.Entry.Find(findings...)
	if s := finding.IfSpreadHigh(); s != nil {
		k.Entry.Find(s)
	}
	for i := range g.mains {
		g.mains[i].Finding = finding.Sentence()
	}
	out := session.Untested(g.sample, g.response, g.knows(), g.mains)
	return out.Keeping(session.Result{Columns: kept.Factors, Plan: &kept}), nil
}

// restOn says what of the series the plan rests on: its spread, or where that is given
// and a percentage is asked for, the mean of the baseline.
func restOn(g *pilot, given, percent bool) {
	if !given {
		g.mains = []session.Answer{{Key: "spread", Gap: say.Gap{Value: g.sd,
			Range: verdict.Range{Low: plan.HighSpread(g.sd, g.df, 0.025), High: plan.HighSpread(g.sd, g.df, 0.975)}}}}
		return
	}
	if percent && g.df >= 1 {
		half := dist.TQuantile(0.975, g.df) * g.sd / math.Sqrt(float64(g.baseN))
		g.mains = []session.Answer{{Key: "mean",
			Gap: say.Gap{Value: g.base, Range: verdict.Range{Low: g.base - half, High: g.base + half}}}}
	}
}
