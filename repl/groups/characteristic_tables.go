package groups

import (
	limit "breakbook/models/limits"
	"breakbook/repl/page"
)

// limitRow is the characteristic value of one level, or of one joint of a fit.
type limitRow struct {
	A      string  `id:"{a}"`
	N      int     `id:"n"`
	Mean   float64 `id:"mean" unit:"{own}"`
	SD     float64 `id:"sd" unit:"{own}" difference:"yes"`
	SDUsed float64 `id:"sd_used" unit:"{own}" difference:"yes"`
	K      float64 `id:"k"`
	Limit  float64 `id:"limit" unit:"{y}"`
	Method string  `id:"method"`
}

// limitDifferenceRow is by how much what the share exceeds is more at second than at first.
type limitDifferenceRow struct {
	First      string  `id:"first"`
	Second     string  `id:"second"`
	Difference float64 `id:"difference" unit:"{y}" difference:"yes"`
	Low        float64 `id:"low" unit:"{y}" difference:"yes"`
	High       float64 `id:"high" unit:"{y}" difference:"yes"`
	Answer     string  `id:"answer"`
}

// tables are the limits, and beside them the log-normal's where the normal gives none.
func (t *limitTeller) tables(title string) []page.Table {
	var rows, beside []limitRow
	row := func(level string, l limit.Limit, m limit.Method) limitRow {
		return limitRow{level, l.N, l.Mean, l.SD, l.SDUsed, l.K, l.Value, m.Name()}
	}
	for _, l := range t.list {
		rows = append(rows, row(l.level, l.Limit, t.o.Method))
		if l.logNormal != nil {
			beside = append(beside, row(l.level, *l.logNormal, limit.Lognormal))
		}
	}
	out := []page.Table{page.Filled(page.Table{ID: "limits", Title: page.Say(title), Note: t.note(t.o.Method)}, rows,
		t.names(t.o.Method))}
	if beside != nil {
		out = append(out, page.Filled(page.Table{ID: "limits_lognormal", Title: page.Say("The log-normal beside it, " +
			"where the normal gives no limit"), Note: t.note(limit.Lognormal)}, beside, t.names(limit.Lognormal)))
	}
	return out
}

func (t *limitTeller) names(m limit.Method) page.Names {
	own := t.unit
	if m == limit.Lognormal {
		own = ""
	}
	return page.Names{"y": t.unit, "own": own, "a": t.by}
}

// note says what the columns of a table of limits are.
func (t *limitTeller) note(m limit.Method) page.Sentence {
	how, floor := "; it is the mean − k × sd used", " of the mean"
	switch m {
	case limit.Ranked:
		how = ""
	case limit.Lognormal:
		in := ""
		if t.unit != "" {
			in = " in " + t.unit
		}
		how = "; mean, sd and sd used are those of ln(" + t.name + in +
			"), and the limit is e to the mean − k × sd used"
		floor = " (of the logarithms, which is about the same share of the load)"
	}
	if b := t.blocks.ref; b != nil && m != limit.Ranked {
		how += "; mean and sd are those of a joint with a new " + b.Name() + ", and k allows for how few there were " +
			"(generalised pivotal quantity)"
	}
	return page.Say("limit: what ", t.share(), " of such joints exceed, said with ", page.Share(t.o.Confidence),
		" confidence"+how, page.If(m != limit.Ranked, "; sd used is the sd, but not less than ",
			page.Share(limit.LeastSpread), floor))
}
