package say_test

import (
	"math"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/render"
	"breakbook/repl/say"
)

// Where one sentence is said on this side of a number and another on that, both sides and the number itself are held.

func words(s page.Sentence) string { return render.Sentence(s, render.Options{}) }

// cannot is a difference that cannot be told, with what would settle it.
func cannot(e say.Enough, worth float64) string {
	return words(say.More(say.Gap{Answer: verdict.CannotTell, Worth: say.Worth{Value: worth, Unit: "N"}, Enough: e}))
}

func TestWhatWouldSettleIt(t *testing.T) {
	const far = "; to settle whether the difference reaches 30 N takes far more specimens than a workshop would make"
	const none = ", since no size worth having is known; type worth and a size"
	for _, c := range []struct {
		enough say.Enough
		worth  float64
		want   string
	}{
		{say.Enough{N: 12, Have: 11}, 0, none},
		{say.Enough{N: 12, Have: 11}, -1, none},
		{say.Enough{N: 12, Have: 11}, 30, "; about 12 specimens per level, of which you have 11, would probably " +
			"settle " +
			"whether the difference reaches 30 N"},
		{say.Enough{N: 12, Have: 12}, 30, "; a series of this size usually settles whether the difference reaches " +
			"30 N, " +
			"and this one fell just between: break a few more"},
		{say.Enough{N: 12, Have: 13}, 30, "; a series of this size usually settles whether the difference reaches " +
			"30 N, " +
			"and this one fell just between: break a few more"},
		{say.Enough{N: 200, Have: 10}, 30, "; about 200 specimens per level, of which you have 10, would probably " +
			"settle " +
			"whether the difference reaches 30 N"},
		{say.Enough{N: 201, Have: 10}, 30, far},
		{say.Enough{Have: 1}, 30, far},
		{say.Enough{}, 30, "; no number of specimens in reach would settle whether the difference reaches 30 N"},
		{say.Enough{N: 10_000}, 30, "; about 10000 specimens per level would probably settle whether the difference " +
			"reaches 30 N"},
		{say.Enough{N: 10_001}, 30, far},
		{say.Enough{N: 99, Have: 98, InAll: true, Of: 1}, 30, "; about 99 specimens in all, of which you have 98, " +
			"would " +
			"probably settle whether the difference reaches 30 N"},
		{say.Enough{N: 101, Have: 98, Of: 2, Block: "board"}, 30, "; about 110 boards per level, of which you have " +
			"98, " +
			"would probably settle whether any of the 2 differences reaches 30 N"},
		{say.Enough{N: 100, Have: 98, Where: page.Say("within glue warm"), Block: "rack"}, 30, "; about 100 values " +
			"of rack " +
			"per level within glue warm, of which you have 98, would probably settle whether the difference " +
			"reaches 30 N"},
		{say.Enough{N: 1001}, 30, "; about 1100 specimens per level would probably settle whether the difference " +
			"reaches 30 N"},
	} {
		if got := cannot(c.enough, c.worth); got != c.want {
			t.Errorf("%+v: %q, want %q", c.enough, got, c.want)
		}
	}
}

// In a list only what a workshop would make is named.
func TestSettling(t *testing.T) {
	for _, c := range []struct {
		answer verdict.Answer
		enough say.Enough
		want   string
	}{
		{verdict.CannotTell, say.Enough{N: 12, Have: 12}, ""},
		{verdict.CannotTell, say.Enough{N: 13, Have: 12}, ": about 13 specimens per level would probably settle it"},
		{verdict.Differs, say.Enough{N: 13, Have: 12}, ""},
		{verdict.CannotTell, say.Enough{N: 240, Have: 12}, ": about 240 specimens per level would probably settle it"},
		{verdict.CannotTell, say.Enough{N: 241, Have: 12}, ""},
		{verdict.CannotTell, say.Enough{N: 10_000}, ": about 10000 specimens per level would probably settle it"},
		{verdict.CannotTell, say.Enough{N: 10_001}, ""},
		{verdict.CannotTell, say.Enough{}, ""},
	} {
		if got := words(say.Gap{Answer: c.answer, Enough: c.enough}.Settling()); got != c.want {
			t.Errorf("%v %+v: %q, want %q", c.answer, c.enough, got, c.want)
		}
	}
}

// A difference of nothing is no less, and an interval that touches zero lies on one side of it.
func TestGapsBesideZero(t *testing.T) {
	of := func(value, low, high float64) say.Gap {
		return say.Gap{Measure: "load", With: page.Say("pins pair"), Than: page.Say("none"), Value: value,
			Range: verdict.Range{Low: low, High: high}, Unit: "N", Confidence: 0.95, Probability: math.NaN(),
			Answer: verdict.Differs}
	}
	for _, c := range []struct {
		gap  say.Gap
		want string
	}{
		{of(0, -5, 5), "With pins pair, load is 0.0 N higher than with none (95 % interval from 5.0 N lower to 5.0 " +
			"N higher): " +
			"differs."},
		{of(-1, -6, 4), "With pins pair, load is 1.0 N lower than with none (95 % interval from 6.0 N lower to 4.0 N " +
			"higher): differs."},
		{of(10, 0, 20), "With pins pair, load is 10 N higher than with none (95 % interval from 0 N to 20 N): " +
			"differs."},
		{of(-10, -20, 0), "With pins pair, load is 10 N lower than with none (95 % interval from 0 N to 20 N): " +
			"differs."},
	} {
		if got := words(c.gap.Sentence()); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for low, want := range map[float64]string{
		2: "With pins pair, nothing bounds load from above; compared with none it is at least 2 N higher (95 % " +
			"interval, no upper limit): differs.",
		0: "With pins pair, nothing bounds load from above; compared with none it is from 0 N lower upwards (95 % " +
			"interval, no upper limit): differs.",
		-2: "With pins pair, nothing bounds load from above; compared with none it is from 2 N lower upwards (95 % " +
			"interval, no upper limit): differs.",
	} {
		if got := words(of(5, low, math.Inf(1)).AtLeast()); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Levels that may be alike: how many would show it, and whether they look further apart.
func TestHowManyShowThatLevelsAreAlike(t *testing.T) {
	pair := func(beyond bool, enough, have int, answer string) string {
		s := words(say.SamePair{Measure: "load", First: "pins none", Second: "pins pair", Diff: 3, Low: -9, High: 15,
			Unit: "N", Margin: page.Say("40 N either " +
				"way"), P: 0.06, Answer: answer, Beyond: beyond, Enough: enough, Have: have}.Sentence())
		const lead = "With pins pair, load is 3 N higher than with pins none (90 % interval from 9 N lower to 15 N " +
			"higher); " +
			"tested against 40 N either way (p = 0.060): "
		if len(s) < len(lead) || s[:len(lead)] != lead {
			t.Fatalf("%q does not begin with %q", s, lead)
		}
		return s[len(lead):]
	}
	for _, c := range []struct {
		beyond       bool
		enough, have int
		answer, want string
	}{
		{false, 12, 11, "same", "same."},
		{false, 0, 11, "cannot tell", "cannot tell; to show that the two are alike takes far more specimens " +
			"than a workshop would make."},
		{false, 220, 11, "cannot tell", "cannot tell; were the two alike, about 220 specimens per level, of which " +
			"you have 11, would probably show it."},
		{false, 221, 11, "cannot tell", "cannot tell; to show that the two are alike takes far more specimens " +
			"than a workshop would make."},
		{false, 12, 11, "cannot tell", "cannot tell; were the two alike, about 12 specimens per level, of which you " +
			"have 11, would probably show it."},
		{false, 11, 11, "cannot tell", "cannot tell; were the two alike, a series of this size would usually show " +
			"it, and this one fell just short: break a few more."},
		{true, 12, 11, "different", "different."},
		{true, 11, 11, "cannot tell", "cannot tell; they are more likely further apart than that: a series of this " +
			"size would usually show two that are alike."},
		{true, 12, 11, "cannot tell", "cannot tell; they are more likely further apart than that; were the two " +
			"alike, about 12 specimens per level, of which you have 11, would probably show it."},
	} {
		if got := pair(c.beyond, c.enough, c.have, c.answer); got != c.want {
			t.Errorf("%v, %d of %d: %q, want %q", c.beyond, c.enough, c.have, got, c.want)
		}
	}
}

func TestOverall(t *testing.T) {
	none, less, differs, cannot := verdict.NoDifferenceWorth, verdict.DiffersLessThanWorth, verdict.Differs,
		verdict.CannotTell
	for _, c := range []struct {
		all  []verdict.Answer
		want verdict.Answer
	}{
		{nil, cannot},
		{[]verdict.Answer{none}, none},
		{[]verdict.Answer{none, none}, none},
		{[]verdict.Answer{none, cannot}, cannot},
		{[]verdict.Answer{less}, less},
		{[]verdict.Answer{none, less}, less},
		{[]verdict.Answer{less, cannot}, differs},
		{[]verdict.Answer{less, differs}, differs},
		{[]verdict.Answer{none, differs}, differs},
		{[]verdict.Answer{cannot, differs}, differs},
	} {
		if got := say.Overall(c.all); got != c.want {
			t.Errorf("%v: %v, want %v", c.all, got, c.want)
		}
	}
}

func TestLists(t *testing.T) {
	letters := []string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l", "m", "n"}
	for n, want := range map[int][2]string{
		1:  {"a", "a"},
		12: {"a, b, c, d, e, f, g, h, i, j, k, l", "a, b, c, d, e, f, g, h, i, j, k, l"},
		13: {"a, b, c, d, e, f, g, h, i, j, k, l, m", "a, b, c, d, e, f, g, h, i, j, k, l and more"},
		14: {"a, b, c, d, e, f, g, h, i, j, k, l and 2 more", "a, b, c, d, e, f, g, h, i, j, k, l and more"},
	} {
		if long, short := say.Listed(letters[:n]), say.ShortList(letters[:n]); long != want[0] || short != want[1] {
			t.Errorf("%d: %q and %q, want %q", n, long, short, want)
		}
	}
	for column, want := range map[string]string{"board": "boards", "batch": "batches", "rack_no": "values of rack_no"} {
		if got := say.Several(column); got != want {
			t.Errorf("several of %s: %q", column, got)
		}
	}
}

func TestHowFarFactorsThatChangedTogetherCanBeDistinguished(t *testing.T) {
	for strength, want := range map[float64]string{
		1:     "they always changed together, so this series cannot say which of them did it",
		0.999: "they always changed together, so this series cannot say which of them did it",
		0.998: "they can hardly be distinguished",
		0.9:   "they can hardly be distinguished",
		0.899: "they can be distinguished in part; the intervals of both are wide",
		0.7:   "they can be distinguished in part; the intervals of both are wide",
		0.699: "they can be distinguished, with wider intervals than if they had been crossed evenly",
	} {
		if got := say.TogetherMeans(strength); got != want {
			t.Errorf("%g: %q, want %q", strength, got, want)
		}
	}
}

// A finding goes on in small letters after a lead, unless it begins with a name.
func TestAfter(t *testing.T) {
	for _, c := range []struct{ finding, want string }{
		{"With pins pair, more.", "so: with pins pair, more."},
		{"Within pins pair, more.", "so: within pins pair, more."},
		{"Wood broke.", "so: Wood broke."},
		{"", "so: "},
	} {
		var f page.Sentence
		if c.finding != "" {
			f = page.Say(c.finding)
		}
		if got := words(say.After(page.Say("so: "), f)); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A plan says what is more than a workshop makes, and the chance that was asked for only where it is missed.
func TestPlanSentences(t *testing.T) {
	plan := say.Plan{What: page.Say("to show 40 N"), Factors: "levels of " +
		"pins", PerLevel: 10_000, N: 20_000, Chance: 0.8,
		Wanted: 0.8, SD: math.NaN(), HighSD: math.NaN(), HighChance: math.NaN(), Blanks: true}
	with := func(change func(p *say.Plan)) say.Plan { p := plan; change(&p); return p }
	for _, c := range []struct {
		plan say.Plan
		want string
	}{
		{plan, "Make 10000 specimens of each of the levels of pins, 20000 in all, to show 40 N: the chance is 80 %."},
		{with(func(p *say.Plan) { p.PerLevel++ }), "More specimens of each of the levels of pins than a workshop " +
			"can make, " +
			"to show 40 N: the chance is 80 %."},
		{with(func(p *say.Plan) { p.Chance = 0.79 }), "Make 10000 specimens of each of the levels of pins, 20000 " +
			"in all, to " +
			"show 40 N: the chance is 79 %, less than the 80 % asked for."},
		{with(func(p *say.Plan) { p.Chance, p.Blanks = 0.79, false }), "Make 10000 specimens of each of the levels " +
			"of " +
			"pins, 20000 in all, to show 40 N: the chance is 79 %."},
		{with(func(p *say.Plan) { p.Factors, p.PerLevel, p.Stages = "", 5, 2 }), "Make at most 5 specimens in 2 " +
			"stages, to " +
			"show 40 N: the chance is 80 %."},
		{with(func(p *say.Plan) { p.PerLevel, p.N, p.SD, p.Unit, p.Logged = 5, 10, 0.25, "", true }), "Make 5 " +
			"specimens of " +
			"each of the levels of pins, 10 in all, to show 40 N: the chance is 80 %, with a spread (sd) of 0.25 " +
			"on the " +
			"logarithm."},
	} {
		if got := words(c.plan.Sentence()); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if s := plan.IfSpreadHigh(); s != nil {
		t.Errorf("a spread that was given may be high: %q", words(s))
	}
}
