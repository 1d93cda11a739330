package modes

import (
	"strings"

	"breakbook/frames"
	"breakbook/models/incidence"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// chanceOf is how the chance of a way of failing is called; of several ways, that of failing so.
func chanceOf(mode string) func(frames.Column) string {
	return func(c frames.Column) string {
		if mode == "" {
			return "the chance of each " + session.InSentence(c)
		}
		return "the chance that " + session.InSentence(c) + " is " + mode
	}
}

// drawn is what a picture of the factors shows.
func (d *modeDrivers) drawn(all []*modeDriven, several bool) *session.Gaps {
	mode := all[0].mode
	if several {
		mode = ""
	}
	out := &session.Gaps{Confidence: d.k.Confidence(), Calls: chanceOf(mode), Drove: true, Modes: several}
	out.Of, _ = d.sample.Frame.Column(d.column.Column)
	for _, t := range all {
		row := t.contrasts[0].row(t.Names())
		row.Answer = t.Answer
		if several {
			row.Where = t.mode
		}
		out.Rows = append(out.Rows, row)
	}
	out.Unit, out.Worth = page.PercentagePoints, all[0].contrasts[0].said.Worth
	return out
}

// row is a contrast as a row of a picture: how far the chance moves, the larger chance first.
func (c contrast) row(factors []string) session.GapRow {
	r := session.GapRow{Factors: factors, With: c.names[1], Than: c.names[0], HasAnswer: true, Answer: c.said.Answer,
		Key: c.key}
	r.Value, r.Range = c.moves()
	if r.Value < 0 && c.said.Number == "" {
		r.With, r.Than = r.Than, r.With
		r.Value, r.Range = -r.Value, r.Range.Turned()
	}
	return r
}

// drawn is what a picture of the odds shows.
func (o *modeOdds) drawn(all []contrast, conf float64) *session.Gaps {
	if len(all) == 0 {
		return nil
	}
	mode := o.names[1]
	if o.all && len(o.names) > 2 {
		mode = ""
	}
	out := &session.Gaps{Confidence: conf, Calls: chanceOf(mode), Unit: page.PercentagePoints, Worth: all[0].said.Worth}
	out.Of, _ = o.Place.Sample.Frame.Column(o.column.Column)
	for _, c := range all {
		row := c.row([]string{o.Place.Model().Variables[c.variable()].Name})
		if mode == "" {
			row.Where = o.names[c.mode] + " rather than " + o.names[0]
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// gaps are the shares of each way of failing at each pair of levels against each other, as they are
// drawn: the interval of each adjusted for how many there are by Bonferroni's inequality.
func (c *crossed) gaps(k *session.Call) (*session.Gaps, error) {
	worth, err := worthOfChance(k)
	if err != nil {
		return nil, err
	}
	pairs := len(c.rows) * (len(c.rows) - 1) / 2
	of := float64(pairs * len(c.modes))
	if len(c.modes) == 2 {
		of = float64(pairs) // what one gains the other loses
	}
	mode := ""
	if len(c.modes) == 2 {
		mode = c.modes[1]
	}
	out := &session.Gaps{Factor: c.by.Column, Confidence: k.Confidence(), Calls: chanceOf(mode),
		Unit:  page.PercentagePoints,
		Worth: worth.Said}
	out.Of, _ = c.sample.Frame.Column(c.mode.Column)
	level := func(i int) page.Sentence { return page.Say(strings.TrimSpace(c.rows[i] + " " + c.levelUnit)) }
	for m, name := range c.modes {
		if mode != "" && name != mode {
			continue
		}
		for b := range c.rows {
			for a := range b {
				i, j := a, b // the larger share second
				share := func(l int) float64 { return float64(c.counts[l][m]) / float64(len(c.specimens[l])) }
				if share(j) < share(i) {
					i, j = j, i
				}
				at := func(confidence float64) verdict.Range {
					return incidence.Difference(c.counts[i][m], len(c.specimens[i]), c.counts[j][m],
						len(c.specimens[j]), 1-(1-confidence)/of)
				}
				r := at(k.Confidence())
				row := session.GapRow{With: level(j), Than: level(i), Value: 100 * (share(j) - share(i)),
					Range: verdict.Range{Low: 100 * r.Low, High: 100 * r.High}, HasAnswer: true,
					Answer: verdict.Decide(r, at(0.90), worth.Value), Key: countKey}
				if mode == "" {
					row.Where = name
				}
				out.Rows = append(out.Rows, row)
			}
		}
	}
	return out, nil
}
