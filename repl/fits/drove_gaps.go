package fits

import (
	"strings"

	"breakbook/repl/session"
)

// drawn is what a picture of the factors shows.
func (d *drivers) drawn(all []*driven) *session.Gaps {
	out := &session.Gaps{Of: d.fit.Y.Column, Confidence: d.k.Confidence(), Drove: true,
		Calls: session.MeasureBy(d.fit.Y.Function)}
	for _, t := range all {
		for i, g := range t.gaps {
			row := session.GapRow{Factors: t.Names(), With: t.ends[i][0], Than: t.ends[i][1]}
			if len(t.gaps) > 1 {
				_, row.Where, _ = strings.Cut(g.Of, "; ")
			} else {
				g.Answer = t.Answer
			}
			out.Add(row, g)
		}
	}
	return out
}
