package modes

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// hadNothingElse tells what each level would have carried had nothing else given way first,
// and on what assumption that rests. mode is "failure was glue".
func hadNothingElse(mode string, levels []levelStrength, unit string, confidence float64) page.Sentence {
	s := page.Say("Had nothing else given way before " + mode + ", half of the specimens would have carried more than ")
	for i, l := range levels {
		s = append(s, l.halfCarried(i == 0, unit, confidence)...)
	}
	return append(s, page.Word(". This is so if, adjusted for the terms, a specimen's strength in one mode is "+
		"independent of its strength in the others; these breaks cannot show whether that is so."))
}

// clearlyBetter is how much lower the AICc of the other distribution is where its medians are told as well, since there
// is considerably less support for the one taken (Burnham & Anderson 2002, Model Selection and Multimodel Inference,
// 2.6).
const clearlyBetter = 4

// suitsBetter tells the medians by the other distribution, which clearly suits these breaks better, and the line that
// takes it.
func (u *oneMode) suitsBetter(k *session.Call, cmd *phrase.Until, levels []levelStrength, confidence float64) (
	page.Sentence, error) {
	by := *u
	by.Fit = u.other
	s := page.Say("The "+proper(by.Distribution.Name())+" distribution suits these breaks clearly better than the "+
		proper(u.Distribution.Name())+" one (AICc lower by ", page.Num{Value: u.AICc - by.AICc, Style: page.Ratio},
		"). With it half of them would have carried more than ")
	for i, l := range levels {
		if err := l.measure(k, &by, confidence); err != nil {
			return nil, err
		}
		s = append(s, l.halfCarried(i == 0, u.load.Unit(), confidence)...)
	}
	other := *cmd
	other.Scatter = phrase.Scatter{Weibull: cmd.Scatter.Lognormal, Lognormal: !cmd.Scatter.Lognormal}
	other.As = nil
	return append(s, page.Word(". To take it, type: "+phrase.Line(&other))), nil
}

// halfCarried is what half of the specimens of a level would have carried, the first with the name of its interval.
func (s levelStrength) halfCarried(first bool, unit string, confidence float64) page.Sentence {
	return page.Say(page.If(!first, "; "), s.medianWords(unit), page.If(s.said != "", " with "+s.said), " (",
		page.If(first, page.Share(confidence), " interval "),
		page.Span{Low: s.medianRange.Low, High: s.medianRange.High, Unit: unit}, ")")
}

// withoutAssuming tells between which loads the medians must lie whatever the strengths of a
// specimen have to do with each other: of these specimens, and with the scatter of so many.
func withoutAssuming(levels []levelStrength, unit string, confidence float64) page.Sentence {
	s := page.Say("With nothing assumed about independence or the distribution, half of the specimens, counted as " +
		"they are, would have carried more than some load")
	for i, l := range levels {
		s = page.Say(s, page.If(i > 0, ";"), page.If(i == 0 && l.said != "", ":"),
			page.If(l.said != "", " with "+l.said), " ", page.Span{Low: l.medianBound.Low, High: l.medianBound.High,
				Unit: unit}, " (", page.If(i == 0, page.Share(confidence), " interval "),
			page.Span{Low: l.boundRange.Low, High: l.boundRange.High, Unit: unit}, ")")
	}
	return append(s, page.Word("."))
}

// endedSo counts the breaks of the mode and the loads that are only lower bounds.
func endedSo(mode string, ended, cut int) page.Sentence {
	if cut == 0 {
		return page.Say("The "+mode+" of all ", ended, " specimens: every load is a load at which it gave way.")
	}
	return page.Say("In ", ended, say.Plural(ended, " specimen ", " specimens ")+mode+"; of the ", cut,
		say.Plural(cut, " other the load is", " others the load is")+" only a lower bound.")
}

// Scatters sets the two distributions against each other by their AICc.
func Scatters(used, other string, usedAICc, otherAICc float64) page.Sentence {
	d := usedAICc - otherAICc
	if d != d {
		return page.Say("There are too few specimens to compare the " + proper(used) + " distribution with the " +
			proper(other) + " one.")
	}
	n := page.Num{Value: math.Abs(d), Style: page.Ratio}
	typed := other
	used, other = proper(used), proper(other)
	switch {
	case math.Abs(d) < 2:
		return page.Say("These breaks hardly distinguish the "+used+" distribution from the "+other+" one (AICc ", n,
			" apart).")
	case d < 0:
		return page.Say("The "+used+" distribution suits these breaks better than the "+other+" one (AICc lower by ", n,
			").")
	default:
		return page.Say("The "+other+" distribution would suit these breaks better than the "+used+
			" one (AICc lower by ", n, "); to take it, put "+typed+" at the end of the line.")
	}
}

// shortIntervals warns of profile intervals from so few breaks that they are a little short: `measure
// coverage` counts how often they hold the truth.
func shortIntervals(n int) page.Sentence {
	return page.Say("With ", n, say.Plural(n, " break", " breaks")+" of this kind the intervals are a little too "+
		"short: of series made up to try them, 95 % intervals from 10 to 30 breaks held the truth in 92 to 94 of "+
		"100, so an answer that only just differs may be chance.")
}

// fewestBreaks is the number of breaks of the mode under which nothing is fitted: of all
// specimens, and of a level, which is then left out.
const fewestBreaks = 3

// enoughBreaks is the number from which profile intervals hold the truth about as often as they say.
const enoughBreaks = 30

// fewBreaks is the number under which a strength carries a caution. Common practice, no source.
const fewBreaks = 10

// oneMode is the strength of one way of breaking, fitted.
type oneMode struct {
	*strength.Fit
	placed                // by ln load
	other   *strength.Fit // of the other distribution; nil where it could not be fitted
	sample  *session.Sample
	data    strength.Sample
	load    *session.Response
	ended   []bool
	mode    phrase.Is
	leftOut []page.Sentence // the levels left out
	top     ceiling
	session.NotFound
}

// Until fits the strength of one way of breaking.
func Until(k *session.Call, cmd *phrase.Until) (*session.Outcome, error) {
	var terms phrase.Terms
	if t := cmd.Terms; t != nil {
		terms = *t
	}
	u, err := OneMode(k, cmd.Y, cmd.Mode, terms, cmd.Scatter)
	if err != nil {
		return nil, err
	}
	conf := k.Confidence()
	strengths, err := u.strengths(k, conf)
	if err != nil {
		return nil, err
	}
	table, endless, err := u.termTable(k, conf)
	if err != nil {
		return nil, err
	}
	ratios, err := u.ratios(k, strengths, conf)
	if err != nil {
		return nil, err
	}
	k.Entry.Mode = u.was()
	unit := u.load.Unit()
	carried := namedLevels(strengths)
	k.Entry.Find(hadNothingElse(u.was(), carried, unit, conf))
	if u.top.broke > 0 {
		k.Entry.Find(u.top.asBounds(u.load, u.was()))
	}
	better := u.other != nil && u.AICc-u.other.AICc > clearlyBetter
	if better {
		said, err := u.suitsBetter(k, cmd, carried, conf)
		if err != nil {
			return nil, err
		}
		k.Entry.Find(said)
	}
	k.Entry.Find(withoutAssuming(carried, unit, conf))
	mains := tellRatios(k, ratios)
	if len(mains) == 0 {
		s := strengths[0]
		mains = []session.Answer{{Key: "median", Finding: k.Entry.Findings[0],
			Gap: say.Gap{Value: s.median, Range: s.medianRange}}}
	}
	k.Entry.Find(endedSo(u.wasUnder(), u.Ended, u.CutShort))
	if u.other != nil && !better {
		k.Entry.Find(Scatters(u.Distribution.Name(), u.other.Distribution.Name(), u.AICc, u.other.AICc))
	}
	k.Entry.Tables = []page.Table{table, u.strengthTable(strengths, conf), u.boundTable(strengths),
		u.boundRangeTable(strengths, conf)}
	if len(ratios) > 0 {
		k.Entry.Tables = append(k.Entry.Tables, u.ratioTable(ratios, conf))
	}
	k.Entry.Tables = append(k.Entry.Tables, u.distributionTable())
	k.Entry.Values = u.values()
	k.Entry.Warn(u.leftOut...)
	if u.Ended < fewBreaks {
		k.Entry.Warn(page.Say("In only ", u.Ended, " specimens "+u.wasUnder()+
			": one more such break could move these strengths a long way."))
	}
	if u.Ended < enoughBreaks {
		k.Entry.Warn(shortIntervals(u.Ended))
	}
	k.Entry.Warn(page.If(len(endless) > 0, "Nothing bounds "+strings.Join(endless, "; ")+
		" on one side: no specimen there broke so, and the fit goes on for ever. Such an effect is left empty, "+
		"and its interval has one end only."))
	k.Entry.Warn(u.Cautions()...)
	k.Entry.Warn(u.Place.DependentCautions()...)
	known := append(u.Place.Columns(), u.mode.Column.Column)
	return session.Tested(u.sample, u.load, known, mains).Keeping(session.Result{Columns: u.Place.Columns(),
		Ceiling: u.top.load}), nil
}

// was is the mode in the past: "failure was glue".
func (u *oneMode) was() string {
	return u.mode.Column.Column + " was " + session.ModeName(u.mode)
}

// wasUnder is it with the ceiling under which it has to be, where there is one: what stands there is a lower bound.
func (u *oneMode) wasUnder() string {
	if u.top.load == 0 {
		return u.was()
	}
	return u.was() + " under the largest load"
}

// OneMode fits the command's response until its mode, on the terms, and the other distribution beside.
func OneMode(k *session.Call, y phrase.Response, mode phrase.Is, terms phrase.Terms,
	scatter phrase.Scatter) (*oneMode, error) {
	u, err := oneModeAlone(k, y, mode, terms, scatter)
	if err != nil {
		return u, err
	}
	return u, u.beside(k)
}

// oneModeAlone fits it with the distribution asked for.
func oneModeAlone(k *session.Call, y phrase.Response, mode phrase.Is, terms phrase.Terms,
	scatter phrase.Scatter) (*oneMode, error) {
	if y.Function != "" {
		return nil, page.Refuse(page.CodeNotALoad, y.At, "until takes the "+y.Column.Column+
			" itself: effects are on its logarithm already", "fit "+phrase.Spelled(y.Column.Column)+" until …")
	}
	b := session.FormulaOf(terms)
	for _, c := range []string{y.Column.Column, mode.Column.Column} {
		if slices.Contains(b.Columns, c) {
			return nil, page.Refuse(page.CodeResponseAmongTerms, terms.At, c+" cannot explain itself",
				"leave it out of the terms")
		}
	}
	s, logs, err := k.Measured(y, append(slices.Clone(b.Columns), mode.Column.Column)...)
	if err != nil {
		return nil, err
	}
	if logs.ColumnLogged() {
		return nil, page.Refuse(page.CodeNotALoad, y.At, y.Column.Column+" holds the logarithm of "+
			logs.Medians().Name+", and until takes that itself: effects are on its logarithm already", "")
	}
	u := &oneMode{sample: s, mode: mode}
	if u.top, err = ceilingOf(k, s, logs, mode, b); err != nil {
		return nil, err
	}
	if err := u.leaveOut(k, b.Columns); err != nil {
		return nil, err
	}
	r, err := k.ReadResponse(s, y) // again: some may have been left out
	if err != nil {
		return nil, err
	}
	u.load = r
	if err := allPositive(k, s, r, y.At); err != nil {
		return nil, err
	}
	return u, u.fit(k, b, scatter)
}

// allPositive finds a load that has no logarithm.
func allPositive(k *session.Call, s *session.Sample, r *session.Response, at int) error {
	for i, x := range r.Values {
		if !(x > 0) {
			return page.Refuse(page.CodeImpossibleValue, at, r.Column.Name+" of specimen "+s.Frame.SpecimenName(i)+
				" is not above 0, and a strength has to be", session.KeepAboveZero(k.Context, s.Whole, r.Column, "it"))
		}
	}
	return nil
}

// fit fits the distribution asked for; the design, and what depends in it, is that of the
// least-squares fit of ln load.
func (u *oneMode) fit(k *session.Call, b session.Formula, scatter phrase.Scatter) error {
	ln := &session.Response{Column: u.load.Column, Function: "ln", Values: make([]float64, len(u.load.Values))}
	for i, x := range u.load.Values {
		ln.Values[i] = math.Log(x)
	}
	u.data = strength.Sample{Load: u.load.Values, Ended: u.ended}
	var err error
	if u.placed, u.data.Columns, err = placedOn(k, u.sample, ln, b); err != nil {
		return err
	}
	first := strength.Weibull
	if scatter.Lognormal {
		first = strength.Lognormal
	}
	if scatter.Lognormal && scatter.Weibull {
		return page.Refuse(page.CodeTwoWays, 0,
			"weibull and lognormal are two ways to scatter and cannot both be asked for",
			"ask for one of them: the other is set beside it anyway")
	}
	if u.Fit, err = strength.Solve(k.Context, u.data, first); err != nil {
		return u.problem(err)
	}
	return nil
}

// beside fits the other distribution.
func (u *oneMode) beside(k *session.Call) (err error) {
	second := strength.Weibull
	if u.Distribution == second {
		second = strength.Lognormal
	}
	u.other, err = strength.Solve(k.Context, u.data, second)
	var e *strength.Error
	if errors.As(err, &e) {
		u.other = nil
		return nil
	}
	return err
}

// problem words what keeps a strength from being fitted.
func (u *oneMode) problem(err error) error {
	var e *strength.Error
	if !errors.As(err, &e) {
		return err
	}
	p := &page.Problem{Code: page.Code(e.Code), At: u.mode.At}
	switch e.Code {
	case "too-few-breaks":
		p.Message = fmt.Sprintf("in %d specimens %s, too few to settle %d figures at once", e.Breaks, u.was(),
			e.Columns+1)
		p.Hint = "leave terms out, or break more specimens"
	case "all-equal":
		p.Message = "the terms account for every load at which " + u.was() +
			" exactly, so there is no scatter to judge by"
	default:
		p.Message = "the likelihood of these loads has no peak that could be reached"
	}
	return p
}
