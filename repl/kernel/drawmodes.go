package kernel

import (
	"breakbook/models/incidence"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// modesWidth is how much of a level's place on the axis its modes take up side by side.
const modesWidth = 0.6

// drawModes shows the share of each way of breaking at each level, with its exact range.
func drawModes(k *call, cmd *phrase.DrawModes) (*outcome, error) {
	c, err := k.crossed(cmd.Mode, cmd.A)
	if err != nil {
		return nil, err
	}
	by, _ := c.sample.frame.Column(c.by.Column)
	mode, _ := c.sample.frame.Column(c.mode.Column)
	fig, err := k.picture(axisOf(mode).Label+" by "+inSentence(by), cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = axisOf(by), page.Axis{Label: "Share of specimens", Unit: "percent"}
	fig.KeyTitle = axisOf(mode).Label
	for _, m := range c.modes {
		fig.Keys = append(fig.Keys, page.Key{Label: m, Look: lookOf(mode, m)})
	}
	var told []say.ModeRange
	for i, counts := range c.counts {
		n := len(c.specimens[i])
		fig.X.Levels, fig.X.Counts = append(fig.X.Levels, c.rows[i]), append(fig.X.Counts, n)
		for j, count := range counts {
			share, r := float64(count)/float64(n), incidence.Proportion(count, n, k.confidence())
			x := float64(i) + modesWidth*((float64(j)+0.5)/float64(len(counts))-0.5)
			fig.Layers = append(fig.Layers, page.Interval{X: x, Mean: 100 * share, Low: 100 * r.Low, High: 100 * r.High, Look: lookOf(mode, c.modes[j])})
			told = append(told, say.ModeRange{ModeShare: say.ModeShare{Level: c.said(i), Mode: c.modes[j], Count: count, N: n}, Share: share, Range: r})
		}
	}
	fig.Note = say.BarsNote("share", k.confidence())
	fig.Alt = say.ModesAlt(c.mode.Column, told)
	return k.drawn(fig)
}
