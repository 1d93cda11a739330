package pictures

import (
	"math"
	"testing"

	"breakbook/frames"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/render"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// row is a difference with an interval of 10 either way.
func row(value float64, answer verdict.Answer, with, than string) session.GapRow {
	return session.GapRow{With: page.Say(with), Than: page.Say(than), Value: value, HasAnswer: true, Answer: answer,
		Range: verdict.Range{Low: value - 10, High: value + 10}}
}

// gapsOf are differences in load by pins.
func gapsOf(rows ...session.GapRow) session.Gaps {
	return session.Gaps{Of: frames.Column{Name: "load", Label: "Load"}, Unit: "N", Confidence: 0.95, Factor: "pins",
		Calls: func(frames.Column) string { return "load" }, Worth: say.Worth{Value: 20, Unit: "N"}, Rows: rows}
}

// The title of a picture of differences says the largest one that there is, or what is known where there is none.
func TestHeadline(t *testing.T) {
	none, less, differs, cannot := verdict.NoDifferenceWorth, verdict.DiffersLessThanWorth, verdict.Differs,
		verdict.CannotTell
	of := func(change func(g *session.Gaps), rows ...session.GapRow) session.Gaps {
		g := gapsOf(rows...)
		change(&g)
		return g
	}
	factor := func(r session.GapRow, names ...string) session.GapRow { r.Factors = names; return r }
	where := func(r session.GapRow, place string) session.GapRow { r.Where = place; return r }
	unasked := session.GapRow{With: page.Say("pair"), Than: page.Say("none"), Value: 90}
	for _, c := range []struct {
		gaps session.Gaps
		want string
	}{
		{gapsOf(row(30, differs, "pair", "none"), row(-50, differs, "bone", "hide")), "Pins bone: 50 N less than hide"},
		{gapsOf(row(50, differs, "pair", "none"), row(-50, differs, "bone", "hide")), "Pins pair: 50 N more than none"},
		{gapsOf(row(30, differs, "pair", "none"), row(70, cannot, "bone", "hide")), "Pins pair: 30 N more than none"},
		{gapsOf(unasked, row(30, differs, "pair", "none")), "Pins pair: 30 N more than none"},
		{gapsOf(where(row(30, differs, "pair", "none"), "glue warm")), "Pins pair: 30 N more than none, glue warm"},
		{gapsOf(row(30, differs, "a pair of spline", "none")), "Pins a pair of spline: 30 N more than none"},
		{gapsOf(row(30, differs, "a pair of splines", "none")), "Pins: a pair of splines, 30 N more than none"},
		{gapsOf(row(30, differs, "Pins in pairs", "none")), "Pins in pairs: 30 N more than none"},
		{gapsOf(row(2, none, "pair", "none"), row(3, less, "bone", "none")), "Load by pins: no difference worth " +
			"having"},
		{gapsOf(row(2, none, "pair", "none")), "Load by pins: no difference worth having"},
		{gapsOf(row(2, none, "pair", "none"), row(3, cannot, "bone", "none")), "Load by pins: no difference can be " +
			"told"},
		{gapsOf(row(12, less, "pair", "none"), row(3, cannot, "bone", "none")), "Load by pins"},
		{gapsOf(unasked), "Load by pins: no difference can be told"},
		{of(func(g *session.Gaps) { g.Means = true }, row(30, differs, "pair", "none")), ""},
		{of(func(g *session.Gaps) { g.Factor = "" }, row(30, differs, "wood", "glue")), "Load, wood: 30 N more " +
			"than glue"},
		{of(func(g *session.Gaps) { g.Factor, g.Drove = "", true }, factor(row(30, differs, "pair", "none"), "pins"),
			factor(row(60, differs, "warm", "cold"), "glue")), "What drove load: pins (pair: 30 N more than none)"},
		{of(func(g *session.Gaps) { g.Factor, g.Drove = "", true }, factor(row(2, cannot, "pair", "none"), "pins")),
			"What drove load: no difference can be told"},
		{of(func(g *session.Gaps) { g.Factor, g.Modes = "", true }, row(2, none, "pair", "none")),
			"What drove load: no difference worth having"},
		{of(func(g *session.Gaps) { g.Series = "series" }, where(row(30, differs, "pair", "none"), "S1"),
			row(2, cannot, "pair", "none")), "Pins pair: 30 N more than none"},
		{of(func(g *session.Gaps) { g.Series = "series" }, row(2, cannot, "pair", "none")),
			"Load, series by series: no difference can be told"},
		{of(func(g *session.Gaps) { g.Factor = "" }, factor(row(30, differs, "warm", "cold"), "glue", "place")),
			"Glue or place warm: 30 N more than cold"},
	} {
		k := &session.Call{Session: session.New(session.Options{})}
		if got := render.Sentence(headline(k, "", &c.gaps), render.Options{}); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// The words under and instead of the picture speak of intervals where there are some.
func TestGapsWithoutIntervals(t *testing.T) {
	bare := row(30, verdict.Differs, "pair", "none")
	bare.Range = verdict.Range{Low: math.NaN(), High: math.NaN()}
	ranged := row(-3, verdict.CannotTell, "bone", "none")
	for _, c := range []struct {
		rows    []session.GapRow
		leftOut int
		alt     string
		note    string
	}{
		{[]session.GapRow{bare}, 0, "Load by pins: a, +30 N: differs.",
			"Mark: the difference; judged by reshuffling or ranks, which give no interval here; " +
				"shaded: less than ± 20 N, not worth having"},
		{[]session.GapRow{ranged}, 1, "Load by pins, each with its 95 % interval: a, −3 N (from −13 N to 7 N): " +
			"cannot tell.",
			"Mark: the difference; bar: its 95 % interval; shaded: less than ± 20 N, not worth having; " +
				"1 smaller difference is only in the table"},
		{[]session.GapRow{ranged, bare}, 2, "Load by pins, each with its 95 % interval: a, −3 N (from −13 N to 7 N): " +
			"cannot tell; b, +30 N: differs.", "Mark: the difference; judged by reshuffling or ranks, which give " +
			"no interval " +
			"here; shaded: less than ± 20 N, not worth having; 2 smaller differences are only in the table"},
	} {
		g := gapsOf(c.rows...)
		fig := page.Figure{Title: "Load by pins", X: page.Axis{Names: []page.Sentence{page.Say("a"), page.Say("b")}}}
		if got := render.Sentence(gapsAlt(session.Result{Gaps: &g}, c.rows, fig), render.Options{}); got != c.alt {
			t.Errorf("%q, want %q", got, c.alt)
		}
		if got := render.Sentence(gapsNote(&g, c.leftOut), render.Options{}); got != c.note {
			t.Errorf("%q, want %q", got, c.note)
		}
	}
	for name, want := range map[string]int{"a name of just thirty-four letters": 7,
		"a name of just thirty-five letters!": 9} {
		if got := rowHeight([]session.GapRow{{With: page.Say(name)}, {With: page.Say("pair")}}); got != want {
			t.Errorf("%s: a row has %d mm, want %d", name, got, want)
		}
	}
}

// A band is spoken of where one is drawn: where there is a difference worth having, and the rows are no means.
func TestShadedNote(t *testing.T) {
	for _, c := range []struct {
		worth float64
		means bool
		want  string
	}{
		{20, false, "; shaded: less than ± 20 N, not worth having"}, {20, true, ""}, {0, false, ""}, {0, true, ""},
		{math.NaN(), false, ""},
	} {
		g := gapsOf()
		g.Worth.Value, g.Means = c.worth, c.means
		if got := render.Sentence(shadedNote(&g), render.Options{}); got != c.want {
			t.Errorf("worth %g, means %v: %q, want %q", c.worth, c.means, got, c.want)
		}
	}
}
