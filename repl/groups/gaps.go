package groups

import (
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// gapsOf are the differences of a family as they are drawn, the largest first.
func gapsOf(f *fitted.Family) *session.Gaps {
	out := &session.Gaps{Of: f.Response.Column, Factor: f.Factor, Confidence: f.Conf,
		Calls: session.MeasureBy(f.Response.Function)}
	for _, d := range f.Result.Differences {
		g := f.Gap(d)
		with, than := session.Levels(g, f.Factor)
		out.Add(session.GapRow{With: with, Than: than, Where: f.WithinOf(d)}, g)
	}
	return out
}

// meansTogether are the means of several series, and what they say together, as they are drawn.
func meansTogether(r *session.Response, means []seriesMean, own []verdict.Range, joint float64, at verdict.Range,
	by string, conf float64) *session.Gaps {
	out := &session.Gaps{Of: r.Column, Unit: r.Unit(), Series: by, Confidence: conf, Means: true, Joint: joint,
		Calls: session.MeasureBy(r.Function)}
	for i, m := range means {
		mean := m.mean
		if m.alike != nil {
			mean = m.alike.Alike
		}
		out.Rows = append(out.Rows, session.GapRow{With: page.Say(m.name), Value: mean, Range: own[i]})
	}
	out.Rows = append(out.Rows, session.GapRow{With: page.Say("all together"), Value: joint, Range: at})
	return out
}

// effectsTogether are the differences of several series, and what they say together, as they are drawn.
func effectsTogether(r *session.Response, stories []pooledEffect, factor, by string, conf float64) *session.Gaps {
	out := &session.Gaps{Of: r.Column, Factor: factor, Series: by, Confidence: conf,
		Calls: session.MeasureBy(r.Function)}
	for _, t := range stories {
		with, than := session.Levels(t.gap, factor)
		for _, e := range t.effects {
			one := t.gap
			one.Value, one.Range = e.Estimate, e.Own(conf)
			if r.Logged() {
				session.AsRatio(&one)
			}
			out.Add(session.GapRow{With: with, Than: than, Where: e.series}, one)
			out.Rows[len(out.Rows)-1].HasAnswer = false
		}
		out.Add(session.GapRow{With: with, Than: than, Where: "all together"}, t.gap)
	}
	return out
}
