package kernel

import (
	"errors"
	"math"
	"slices"
	"strings"

	"breakbook/models/dist"
	"breakbook/models/plan"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// highSpread is the confidence of the upper limit of an sd that a plan is held against.
const highSpread = 0.80

// planned is a plan kept for a test sheet and for a picture of its chance.
type planned struct {
	response string       // the column to be measured; empty where the series has no load
	factors  []string     // whose levels are combined; none: one kind of joint
	levels   [][]string   // of each factor, in its order
	mode     string       // the column of failure modes, if the plan is about one
	perLevel int          // specimens of each combination
	blocks   *plan.Blocks // as they are laid out; nil without any
	block    string       // their column
	model    sizer
	told     say.Plan // as the finding tells it
}

// sizer is a model that says what a number of specimens gives.
type sizer interface {
	At(perLevel int) (plan.Size, error)
	Least() (plan.Size, error)
}

// planMeans plans for a difference of means.
func planMeans(k *call) (*Session, error) {
	factors := []phrase.ColumnRef{k.column("a")}
	if k.has("b") {
		factors = append(factors, k.column("b"))
	}
	g, err := k.planGround(factors)
	if err != nil {
		return nil, err
	}
	detect := k.c.Slots["detecting"].(phrase.Amount)
	delta, err := k.shareOrAmount(detect, g)
	if err != nil {
		return nil, err
	}
	sd, high, err := k.planSpread(g)
	if err != nil {
		return nil, err
	}
	if g.blocks != nil && g.blocks.known {
		sd, high = g.blocks.left, g.blocks.highLeft
	}
	m := plan.Means{Levels: g.levels, Delta: delta, SD: sd, HighSD: high, Confidence: k.confidence(), Wanted: k.wanted(), Blocks: g.blocks.model()}
	sizes, err := k.sizes(m, g.cells(), m.Step())
	if err != nil {
		return nil, err
	}
	told := say.Plan{What: say.Detecting(g.response.measure(), delta, g.response.unit()), Factors: g.called(), Wanted: m.Wanted,
		SD: sd, Unit: g.response.unit(), HighSD: high, Blocks: g.blocks.laid(g)}
	if told.Blocks != nil && m.Blocks.SD > 0 && g.blocks.anyWhole() && !k.has("blanks") {
		shared := m
		shared.Blocks = &plan.Blocks{SD: m.Blocks.SD, HighSD: m.Blocks.HighSD, Each: 1, Whole: make([]bool, len(factors))}
		if s, err := shared.Least(); err == nil && s.PerLevel < sizes[0].PerLevel {
			told.Blocks.Shared = s.PerLevel
		}
	}
	k.restOn(g, detect.Percent && !g.response.logged())
	return k.bookPlan(g, sizes, told, planTableOf(g.response.unit(), 0, true), planned{response: g.response.column.Name, factors: g.names(), levels: g.named, perLevel: sizes[0].PerLevel, blocks: m.Blocks, model: m})
}

// planShares plans for a change of the share of a failure mode.
func planShares(k *call) (*Session, error) {
	mode := k.c.Slots["mode"].(phrase.Is)
	by := k.column("a")
	columns, err := k.withBlocks([]string{mode.Column.Column, by.Column})
	if err != nil {
		return nil, err
	}
	s, err := k.sample(columns...)
	if err != nil {
		return nil, err
	}
	groups, err := k.groups(s, make([]float64, s.frame.Len()), by)
	if err != nil {
		return nil, err
	}
	from, to := k.c.Slots["share"].(phrase.Amount), k.c.Slots["to"].(phrase.Amount)
	m := plan.Shares{Levels: len(groups), From: from.Value, To: to.Value, Confidence: k.confidence(), Wanted: k.wanted()}
	sizes, err := k.sizes(m, len(groups), 1)
	if err != nil {
		return nil, err
	}
	load := k.s.RoleColumn(s.series, "load")
	name := mode.Column.Column + " is " + modeName(mode)
	g := &ground{sample: s, response: s.mode(mode.Column.Column), factors: []phrase.ColumnRef{by}, levels: []int{len(groups)}, named: [][]string{levelNames(groups)}}
	if g.blocks, _, err = g.arranged(); err != nil {
		return nil, err
	}
	g.blocks.count(g, sizes)
	told := say.Plan{What: say.Shifting(name, m.From, m.To), Factors: g.called(), Wanted: m.Wanted, SD: math.NaN(), HighSD: math.NaN(), Blocks: g.blocks.single(g)}
	return k.bookPlan(g, sizes, told, planTableOf("", page.Fraction, len(groups) == 2),
		planned{response: load, factors: g.names(), levels: g.named, mode: mode.Column.Column, perLevel: sizes[0].PerLevel, blocks: g.blocks.singles(), model: m})
}

// planLimit plans how close a characteristic value comes.
func planLimit(k *call) (*Session, error) {
	var factors []phrase.ColumnRef
	if k.has("a") {
		factors = append(factors, k.column("a"))
	}
	g, err := k.planGround(factors)
	if err != nil {
		return nil, err
	}
	if g.response.function != "" {
		return nil, &page.Problem{Code: "not-a-load", At: k.slotPlace("y"), Message: "a characteristic value is of " + g.response.column.Name + " itself"}
	}
	sd, high, err := k.planSpread(g)
	if err != nil {
		return nil, err
	}
	if g.blocks != nil && g.blocks.known {
		sd, high = g.blocks.all, g.blocks.highAll
	}
	within := k.c.Slots["within"].(phrase.Amount).Value
	m := plan.Limit{Levels: g.cells(), Mean: g.base, SD: sd, HighSD: high, Within: within, Exceeded: 0.95, Confidence: 0.75, Wanted: k.wanted()}
	sizes, err := k.sizes(m, m.Levels, 1)
	if err != nil {
		return nil, err
	}
	g.blocks.count(g, sizes)
	told := say.Plan{What: say.Pinning(g.response.measure(), within), Factors: g.called(), Wanted: m.Wanted, SD: sd, Unit: g.response.unit(), HighSD: high, Blocks: g.blocks.single(g)}
	k.restOn(g, true)
	return k.bookPlan(g, sizes, told, planTableOf(g.response.unit(), 0, false),
		planned{response: g.response.column.Name, factors: g.names(), levels: g.named, perLevel: sizes[0].PerLevel, blocks: g.blocks.singles(), model: m})
}

// ground is what a plan stands on: the present series' means and spread.
type ground struct {
	sample   *sample
	response *response
	factors  []phrase.ColumnRef
	levels   []int
	named    [][]string // the levels
	base     float64    // mean of the baseline combination; of all, without factors
	sd, df   float64    // pooled within combinations; NaN where nothing tells
	baseN    int        // specimens behind base
	blocks   *blocking  // nil without marked blocks
	mains    []main     // what the plan rests on
}

func (g *ground) cells() int {
	n := 1
	for _, k := range g.levels {
		n *= k
	}
	return n
}

func (g *ground) names() []string {
	var out []string
	for _, f := range g.factors {
		out = append(out, f.Column)
	}
	return out
}

func levelNames(groups []group) []string {
	var out []string
	for _, g := range groups {
		out = append(out, g.level)
	}
	return out
}

// called is what the plan makes specimens of, in a sentence.
func (g *ground) called() string {
	switch len(g.factors) {
	case 0:
		return ""
	case 1:
		return "levels of " + g.factors[0].Column
	}
	return "combinations of " + strings.Join(g.names(), " and ")
}

// planGround reads the series the plan stands on.
func (k *call) planGround(factors []phrase.ColumnRef) (*ground, error) {
	g := &ground{factors: factors}
	columns, err := k.withBlocks(g.names())
	if err != nil {
		return nil, err
	}
	if g.sample, g.response, err = k.measured(columns...); err != nil {
		return nil, err
	}
	cells := []cell{{group: group{values: g.response.values}}}
	if len(factors) > 0 {
		if cells, err = k.cells(g.sample, g.response.values, factors); err != nil {
			return nil, err
		}
	}
	for _, f := range factors {
		own, err := k.groups(g.sample, g.response.values, f)
		if err != nil {
			return nil, err
		}
		if len(own) < 2 {
			return nil, &page.Problem{Code: "too-few-levels", At: f.At, Message: f.Column + " has only one level among the specimens used, so there is nothing to compare"}
		}
		g.levels = append(g.levels, len(own))
		g.named = append(g.named, levelNames(own))
	}
	squares := 0.0
	for i, c := range cells {
		mean := means([][]float64{c.values})[0]
		if i == 0 {
			g.base, g.baseN = mean, len(c.values)
		}
		for _, x := range c.values {
			squares += (x - mean) * (x - mean)
		}
		g.df += float64(len(c.values) - 1)
	}
	g.sd = math.Sqrt(squares / g.df) // NaN for no degrees of freedom
	g.blocks, err = k.blocked(g)
	return g, err
}

// shareOrAmount is a percentage of the baseline mean, or an amount, on the response's own
// scale; on a logarithm a percentage is a ratio.
func (k *call) shareOrAmount(a phrase.Amount, g *ground) (float64, error) {
	r := g.response
	if !(a.Value > 0) {
		return 0, &page.Problem{Code: "out-of-range", At: a.At, Message: "an amount over zero is needed here", Hint: "10%"}
	}
	switch {
	case a.Percent && r.logged():
		return math.Log1p(a.Value), nil
	case a.Percent && (noRatio(r.column) || !(g.base > 0)):
		return 0, &page.Problem{Code: "no-ratio", At: a.At, Message: "a percentage of " + r.name() + " means nothing, for it has no natural zero or a mean that is not over it",
			Hint: "give an amount instead"}
	case a.Percent:
		return a.Value * g.base, nil
	case r.function != "":
		return 0, &page.Problem{Code: "wrong-dimension", At: a.At, Message: "on " + r.name() + " a difference is given as a percentage", Hint: "10%"}
	}
	return inUnit(a.Value, a.Unit, r.unit(), a.At)
}

// planSpread is the sd to plan with, and its upper limit where it is the series' own. A spread
// that is given is parted over blocks as that of the series is.
func (k *call) planSpread(g *ground) (sd, high float64, err error) {
	if a, ok := k.c.Slots["spread"].(phrase.Amount); ok {
		sd, err = k.shareOrAmount(a, g)
		if g.blocks != nil && g.blocks.known && err == nil {
			g.blocks.given(sd)
		}
		return sd, math.NaN(), err
	}
	if !(g.sd > 0) {
		return 0, 0, &page.Problem{Code: "no-spread", At: k.slotPlace("y"), Message: "these specimens do not tell how " + g.response.name() + " scatters",
			Hint: "give it: spread 12%"}
	}
	return g.sd, plan.HighSpread(g.sd, g.df, highSpread), nil
}

// wanted is the chance the command asks for.
func (k *call) wanted() float64 {
	if a, ok := k.c.Slots["chance"].(phrase.Amount); ok {
		return a.Value
	}
	return 0.80
}

// sizes is the plan's own size, and some smaller and larger ones, all multiples of step; in a
// rerun with specimens back its own alone.
func (k *call) sizes(m sizer, cells, step int) ([]plan.Size, error) {
	var own plan.Size
	var err error
	if n, ok := k.c.Slots["blanks"].(phrase.Count); ok {
		most := n.Value / cells / step * step
		if own, err = m.At(most); most < 2 {
			return nil, &page.Problem{Code: "out-of-range", At: n.At, Message: "so few blanks make less than two specimens of each kind"}
		}
	} else {
		own, err = m.Least()
	}
	if err != nil {
		return nil, k.planProblem(err)
	}
	out := []plan.Size{own}
	if k.back != nil {
		return out, nil
	}
	n := own.PerLevel / step
	for _, steps := range []int{n / 2, (3*n + 3) / 4, (5*n + 3) / 4, (3*n + 1) / 2, 2 * n} {
		other := steps * step
		if other < 2 || slices.ContainsFunc(out, func(s plan.Size) bool { return s.PerLevel == other }) {
			continue
		}
		s, err := m.At(other)
		var e *plan.Error
		if errors.As(err, &e) && e.Code == "too-few-specimens" {
			continue
		}
		if err != nil {
			return nil, k.planProblem(err)
		}
		out = append(out, s)
	}
	return out, nil
}

// planProblem puts an error of a plan into words.
func (k *call) planProblem(err error) error {
	var e *plan.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: e.Code}
	switch e.Code {
	case "out-of-reach":
		p.Message = "no number of specimens within reason gives that chance"
		p.Hint = "look for a larger difference, or take a smaller chance"
	case "too-many-specimens":
		p.Message = "a plan for a share looks no further than 800 specimens a level"
		p.Hint = "name fewer blanks; at that number nearly any difference would show"
	case "no-difference":
		p.Message = "there is no difference to look for"
	case "share":
		p.Code, p.Message = "out-of-range", "chances, shares and confidence lie between 0% and 100%"
	case "too-few-levels":
		p.Message, p.At = "there is one level only, so nothing to compare", k.slotPlace("a")
	case "too-few-specimens":
		p.Message = "so few specimens say nothing"
	default:
		p.Message = e.Code
	}
	return p
}

// planTableOf is the empty table of sizes; detectable has the unit and style given.
func planTableOf(unit string, style page.Style, both bool) page.Table {
	note := page.Say("the first row is the plan, the others what fewer or more would give; chance: the smaller of that of the test of all levels and that of the pair's own, with two levels that far apart and the rest midway; chance_if_spread_high: were the spread at its ",
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
func (k *call) bookPlan(g *ground, sizes []plan.Size, told say.Plan, t page.Table, kept planned) (*Session, error) {
	if told.Blocks != nil {
		t.Columns = append(t.Columns, page.Column{ID: "blocks", Style: page.Count})
		told.Blocks.Blocks, told.Blocks.Unit, kept.block = sizes[0].Blocks, told.Unit, told.Blocks.Block
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
	told.Blanks = k.has("blanks")
	kept.told = told
	k.e.Tables = []page.Table{t}
	k.e.Findings = []page.Sentence{told.Sentence()}
	k.e.Values = []page.Value{figure("n_per_level", float64(own.PerLevel), page.Count, ""), figure("n", float64(own.N), page.Count, ""),
		figure("chance", own.Chance, page.Fraction, "")}
	if !math.IsNaN(told.SD) {
		k.e.Values = append(k.e.Values, figure("sd", told.SD, page.Plain, told.Unit))
	}
	if b := told.Blocks; b != nil {
		k.e.Findings = append(k.e.Findings, b.Sentence())
		k.e.Values = append(k.e.Values, figure("blocks", float64(b.Blocks), page.Count, ""))
		if b.Known && !b.Singles && !b.OneEach {
			k.e.Values = append(k.e.Values, figure("block_sd", b.SD, page.Plain, told.Unit))
		}
		if !b.Known && !b.Singles && !b.OneEach {
			k.e.Cautions = append(k.e.Cautions, say.BlocksUntold(b.Block))
		}
	}
	if s := told.IfSpreadHigh(); s != nil {
		k.e.Findings = append(k.e.Findings, s)
	}
	for i := range g.mains {
		g.mains[i].told = told.Sentence()
	}
	return k.book(k.rested(g.sample, g.response, kept.factors, g.mains), result{columns: kept.factors, plan: &kept})
}

// restOn says what of the series the plan rests on: its spread, or where that is given
// and a percentage is asked for, the mean of the baseline.
func (k *call) restOn(g *ground, percent bool) {
	if _, given := k.c.Slots["spread"]; !given {
		g.mains = []main{{key: "spread", gap: say.Gap{Value: g.sd,
			Range: verdict.Range{Low: plan.HighSpread(g.sd, g.df, 0.025), High: plan.HighSpread(g.sd, g.df, 0.975)}}}}
		return
	}
	if percent && g.df >= 1 {
		half := dist.TQuantile(0.975, g.df) * g.sd / math.Sqrt(float64(g.baseN))
		g.mains = []main{{key: "mean", gap: say.Gap{Value: g.base, Range: verdict.Range{Low: g.base - half, High: g.base + half}}}}
	}
}
