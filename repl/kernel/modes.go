package kernel

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/models/incidence"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// wholeWords are the levels of a way of breaking that say that nothing broke.
var wholeWords = []string{"unbroken", "not broken", "did not break", "no break", "no failure", "intact", "held", "none", "runout", "run out"}

// modes tells the share of each way of breaking at each level, and with `under` how those
// shares build up with the load.
func modes(k *call, cmd *phrase.Modes) (*outcome, error) {
	var columns []string
	if cmd.Under != nil {
		columns = append(columns, cmd.Under.Column.Column)
	}
	c, err := k.crossed(cmd.Mode, cmd.A, columns...)
	if err != nil {
		return nil, err
	}
	conf := k.confidence()
	most, mains := c.shares(conf)
	lead := say.ModesShared(c.mode.Column, nil, most, conf)
	for i := range mains {
		mains[i].told = lead
	}
	k.e.Findings = []page.Sentence{lead}
	k.e.Tables = []page.Table{c.proportionTable(conf)}
	known := []string{c.mode.Column, c.by.Column}
	if cmd.Under != nil {
		r, err := k.respond(c.sample, *cmd.Under)
		if err != nil {
			return nil, err
		}
		k.buildup(c, r, conf)
		known = append(known, r.column.Name)
	}
	return answered(c.sample, c.sample.mode(c.mode.Column), known, mains).keeping(result{columns: known}), nil
}

// shares is the commonest mode of each level, told and as an answer.
func (c *crossed) shares(conf float64) (told []say.ModeRange, mains []main) {
	for _, m := range c.most() {
		r := say.ModeRange{ModeShare: m, Share: float64(m.Count) / float64(m.N), Range: incidence.Proportion(m.Count, m.N, conf)}
		told = append(told, r)
		mains = append(mains, main{key: m.Level + ", " + m.Mode, gap: say.Gap{Value: r.Share, Range: r.Range}})
	}
	return told, mains
}

// proportionTable has one row a level and mode.
func (c *crossed) proportionTable(conf float64) page.Table {
	t := page.Table{ID: "proportions", Title: page.Say("Share of each " + c.mode.Column + " by " + c.by.Column),
		Note: page.Say("low and high: exact ", page.Num{Value: conf, Style: page.Fraction}, " range of each proportion by itself"),
		Columns: []page.Column{{ID: c.by.Column}, {ID: "mode"}, {ID: "n", Style: page.Count}, {ID: "proportion", Style: page.Fraction},
			{ID: "low", Style: page.Fraction}, {ID: "high", Style: page.Fraction}}}
	for i, counts := range c.counts {
		n := len(c.specimens[i])
		for j, count := range counts {
			r := incidence.Proportion(count, n, conf)
			t.Rows = append(t.Rows, []page.Cell{page.T(c.rows[i]), page.T(c.modes[j]), page.N(float64(n)),
				page.N(float64(count) / float64(n)), page.N(r.Low), page.N(r.High)})
		}
	}
	return t
}

// buildup adds the table and the finding of the shares as they build up with the load.
func (k *call) buildup(c *crossed, r *response, conf float64) {
	way, whole := c.ways()
	unit := r.unit()
	t := page.Table{ID: "buildup", Title: page.Say("Share of each " + c.mode.Column + " as " + r.name() + " rises, by " + c.by.Column),
		Note: page.Say("share: of all specimens of the level, ended so at this load or under it; low and high: ",
			page.Num{Value: conf, Style: page.Fraction}, " range on ln(−ln share), a dash where all have ended so"),
		Columns: []page.Column{{ID: c.by.Column}, {ID: "mode"}, {ID: "load", Unit: unit}, {ID: "at_risk", Style: page.Count},
			{ID: "share", Style: page.Fraction}, {ID: "low", Style: page.Fraction}, {ID: "high", Style: page.Fraction}}}
	middle := medianOf(k.ctx, r.values)
	var told []say.ModeRange
	for i, specimens := range c.specimens {
		loads, ways := make([]float64, len(specimens)), make([]int, len(specimens))
		for j, row := range specimens {
			loads[j], ways[j] = r.values[row], way[row]
		}
		largest := say.ModeRange{ModeShare: say.ModeShare{Level: c.said(i), N: len(specimens)}}
		for m, steps := range incidence.Buildup(k.ctx, loads, ways, len(c.modes), conf) {
			for n, s := range steps {
				parallel.LookAt(k.ctx, n)
				t.Rows = append(t.Rows, []page.Cell{page.T(c.rows[i]), page.T(c.modes[m]), page.N(s.Load), page.N(float64(s.AtRisk)),
					page.N(s.Share), page.N(s.Range.Low), page.N(s.Range.High)})
				if s.Load <= middle && s.Share > largest.Share {
					largest.Mode, largest.Share, largest.Range = c.modes[m], s.Share, s.Range
				}
			}
		}
		if largest.Mode != "" && len(told) < mostTold {
			told = append(told, largest)
		}
	}
	k.e.Tables = append(k.e.Tables, t)
	if len(told) > 0 {
		k.e.Findings = append(k.e.Findings, say.ModesShared(c.mode.Column, page.Say(page.Num{Value: middle, Unit: unit}), told, conf))
	}
	if len(whole) > 0 {
		n := 0
		for _, w := range way {
			if w == incidence.Whole {
				n++
			}
		}
		k.e.Findings = append(k.e.Findings, say.TakenAsWhole(c.mode.Column, whole, n))
	}
}

// ways is the mode of each specimen, whole where its level says that nothing broke, and those levels.
func (c *crossed) ways() (way []int, whole []string) {
	way = slices.Clone(c.codes)
	for j, m := range c.modes {
		if !slices.Contains(wholeWords, strings.ToLower(strings.ReplaceAll(m, "_", " "))) {
			continue
		}
		whole = append(whole, m)
		for i, code := range c.codes {
			if code == j {
				way[i] = incidence.Whole
			}
		}
	}
	return way, whole
}

// medianOf is the middle value, the lower of the two middle ones.
func medianOf(ctx context.Context, values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	sorted := slices.Clone(values)
	parallel.Sort(ctx, sorted)
	return sorted[(len(sorted)-1)/2]
}
