package modes

import (
	"strconv"

	"breakbook/models/incidence"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// modesAlt tells what a picture of the shares of the ways of breaking shows.
func modesAlt(mode string, shares []modeRange) page.Sentence {
	s := page.Say("The share of each " + mode + " at each level, with its exact interval")
	last := ""
	for i, m := range shares {
		lead := ", "
		switch {
		case i == 0:
			lead = ": " + m.Level + " (" + strconv.Itoa(m.N) + "): "
		case m.Level != last:
			lead = "; " + m.Level + " (" + strconv.Itoa(m.N) + "): "
		}
		last = m.Level
		s = page.Say(s, lead+m.Mode+" ", page.Share(m.Share))
	}
	return append(s, page.Word("."))
}

// modesWidth is how much of a level's place on the axis its modes take up side by side.
const modesWidth = 0.6

// DrawModes shows the share of each way of breaking at each level, with its exact interval.
func DrawModes(k *session.Call, cmd *phrase.DrawModes) (*session.Outcome, error) {
	c, err := readCrossed(k, cmd.Mode, cmd.A)
	if err != nil {
		return nil, err
	}
	by, _ := c.sample.Frame.Column(c.by.Column)
	mode, _ := c.sample.Frame.Column(c.mode.Column)
	fig, err := k.Picture(session.AxisOf(mode).Label+" by "+session.InSentence(by), cmd.Picture)
	if err != nil {
		return nil, err
	}
	fig.X, fig.Y = session.AxisOf(by), page.Axis{Label: "Share of specimens", Unit: "percent"}
	fig.KeyTitle = session.AxisOf(mode).Label
	for _, m := range c.modes {
		fig.Keys = append(fig.Keys, page.Key{Label: m, Look: session.LookOf(mode, m)})
	}
	var ranges []modeRange
	for i, counts := range c.counts {
		n := len(c.specimens[i])
		fig.X.Levels, fig.X.Counts = append(fig.X.Levels, c.rows[i]), append(fig.X.Counts, n)
		for j, count := range counts {
			share, r := float64(count)/float64(n), incidence.Proportion(count, n, k.Confidence())
			x := float64(i) + modesWidth*((float64(j)+0.5)/float64(len(counts))-0.5)
			fig.Layers = append(fig.Layers, page.Interval{X: x, Mean: 100 * share, Low: 100 * r.Low, High: 100 * r.High,
				Look: session.LookOf(mode, c.modes[j])})
			ranges = append(ranges, modeRange{modeShare: modeShare{Level: c.said(i), Mode: c.modes[j], Count: count,
				N: n}, Share: share, Range: r})
		}
	}
	fig.Note = say.BarsNote("share", k.Confidence())
	fig.Alt = modesAlt(c.mode.Column, ranges)
	return k.Drawn(fig)
}
