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
	SD     float64 `id:"sd" unit:"{own}"`
	SDUsed float64 `id:"sd_used" unit:"{own}"`
	K      float64 `id:"k"`
	Limit  float64 `id:"limit" unit:"{y}"`
	Method string  `id:"method"`
}

// limitDifferenceRow is by how much what the share exceeds is more at second than at first.
type limitDifferenceRow struct {
	First      string  `id:"first"`
	Second     string  `id:"second"`
	Difference float64 `id:"difference" unit:"{y}"`
	Low        float64 `id:"low" unit:"{y}"`
	High       float64 `id:"high" unit:"{y}"`
	Answer     string  `id:"answer"`
}

// tables are the limits, and beside them the log-normal's where the normal gives none.
func (t *limitTeller) tables(title string) []page.Table {
	var rows, beside []limitRow
	for _, l := range t.list {
		rows = append(rows, limitRow{l.level, l.N, l.Mean, l.SD, l.SDUsed, l.K, l.Value, t.o.Method.Name()})
		if b := l.beside; b != nil {
			beside = append(beside, limitRow{l.level, b.N, b.Mean, b.SD, b.SDUsed, b.K, b.Value, limit.Lognormal.Name()})
		}
	}
	out := []page.Table{page.Filled(page.Table{ID: "limits", Title: page.Say(title), Note: t.note(t.o.Method)}, rows,
		t.names(t.o.Method))}
	if beside != nil {
		out = append(out, page.Filled(page.Table{ID: "limits_lognormal",
			Title: page.Say("The log-normal beside it, where the normal gives no limit"),
			Note:  t.note(limit.Lognormal)}, beside, t.names(limit.Lognormal)))
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
	note := page.Say("limit: what ", t.share(), " of such joints exceed, said with ", page.Share(t.o.Confidence),
		" confidence")
	switch m {
	case limit.Lognormal:
		in := ""
		if t.unit != "" {
			in = " in " + t.unit
		}
		note = append(note, page.Word("; mean, sd and sd used are those of ln("+t.name+in+"), and the limit is e to the "+
			"mean − k × sd used"))
	case limit.Normal:
		note = append(note, page.Word("; it is the mean − k × sd used"))
	}
	if m == limit.Ranked {
		return note
	}
	if b := t.blocks.ref; b != nil {
		note = append(note, page.Word("; mean and sd are those of a joint with a new "+b.Name()+", and k allows for how "+
			"few there were (generalised pivotal quantity)"))
	}
	floor := " of the mean"
	if m == limit.Lognormal {
		floor = " (of the logarithms, which is about the same share of the load)"
	}
	return append(note, page.Say("; sd used is the sd, but not less than ", page.Share(limit.LeastSpread),
		floor)...)
}
