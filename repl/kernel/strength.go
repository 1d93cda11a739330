package kernel

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/strength"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// fewestBreaks is the number of breaks of the mode under which nothing is fitted: of all
// specimens, and of a level, which is then left out.
const fewestBreaks = 3

// fewBreaks is the number under which a strength carries a caution. Common practice, no source.
const fewBreaks = 10

// oneMode is the strength of one way of breaking, fitted.
type oneMode struct {
	*strength.Fit
	other  *strength.Fit // of the other distribution; nil where it could not be fitted
	place  *fitted       // ln load on the same terms by least squares: for its design only
	kept   []int         // the coefficients of place that are fitted here
	sample *sample
	load   *response
	ended  []bool
	mode   phrase.Is
	left   []page.Sentence // the levels left out
	unfound
}

// until fits the strength of one way of breaking.
func until(k *call) (*Session, error) {
	var terms phrase.Terms
	if t, ok := k.c.Slots["terms"].(phrase.Terms); ok {
		terms = t
	}
	u, err := k.oneMode(terms)
	if err != nil {
		return nil, err
	}
	conf := k.confidence()
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
	unit := u.load.unit()
	told := carriedOf(strengths)
	k.e.Findings = []page.Sentence{say.HadNothingElse(u.was(), told, unit, conf), say.WithoutAssuming(told, unit, conf)}
	mains := k.tellRatios(ratios)
	if len(mains) == 0 {
		s := strengths[0]
		mains = []main{{key: "median", told: k.e.Findings[0], gap: say.Gap{Value: s.median, Range: s.medianRange}}}
	}
	k.e.Findings = append(k.e.Findings, say.EndedSo(u.was(), u.Ended, u.CutShort))
	if u.other != nil {
		k.e.Findings = append(k.e.Findings, say.Scatters(u.Distribution.Name(), u.other.Distribution.Name(), u.AICc, u.other.AICc))
	}
	k.e.Tables = []page.Table{table, u.strengthTable(strengths, conf), u.boundTable(strengths), u.boundRangeTable(strengths, conf), u.ratioTable(ratios, conf), u.distributionTable()}
	if len(ratios) == 0 {
		k.e.Tables = slices.Delete(k.e.Tables, 3, 4)
	}
	k.e.Values = u.values()
	k.e.Cautions = append(k.e.Cautions, u.left...)
	if u.Ended < fewBreaks {
		k.e.Cautions = append(k.e.Cautions, say.FewBreaks(u.was(), u.Ended))
	}
	if len(endless) > 0 {
		k.e.Cautions = append(k.e.Cautions, say.Endless(strings.Join(endless, "; ")))
	}
	k.e.Cautions = append(k.e.Cautions, u.cautions()...)
	k.e.Cautions = append(k.e.Cautions, u.place.dependentCautions()...)
	known := append(u.place.columns(), u.mode.Column.Column)
	return k.book(k.answered(u.sample, u.load, known, mains), result{columns: u.place.columns()})
}

// was is the mode in the past: "failure was glue".
func (u *oneMode) was() string {
	return u.mode.Column.Column + " was " + modeName(u.mode)
}

// modeName is the mode's level, or its levels joined by "or".
func modeName(m phrase.Is) string {
	var names []string
	for _, v := range m.Values {
		names = append(names, v.Text)
	}
	return strings.Join(names, " or ")
}

// oneMode fits the command's response until its mode, on the terms.
func (k *call) oneMode(terms phrase.Terms) (*oneMode, error) {
	mode := k.c.Slots["mode"].(phrase.Is)
	y := k.c.Slots["y"].(phrase.Response)
	if y.Function != "" {
		return nil, &page.Problem{Code: "not-a-load", At: y.At, Message: "until takes the " + y.Column.Column + " itself: effects are on its logarithm already",
			Hint: "fit " + y.Column.Column + " until …"}
	}
	b := spelled(terms)
	for _, c := range []string{y.Column.Column, mode.Column.Column} {
		if slices.Contains(b.columns, c) {
			return nil, &page.Problem{Code: "response-among-terms", At: terms.At, Message: c + " cannot explain itself", Hint: "leave it out of the terms"}
		}
	}
	s, _, err := k.measured(append(slices.Clone(b.columns), mode.Column.Column)...)
	if err != nil {
		return nil, err
	}
	u := &oneMode{sample: s, mode: mode}
	if err := u.leaveOut(k, b.columns); err != nil {
		return nil, err
	}
	r, err := k.respond(s, y) // again: some may have been left out
	if err != nil {
		return nil, err
	}
	u.load = r
	if err := k.allPositive(s, r); err != nil {
		return nil, err
	}
	return u, u.fit(k, b)
}

// allPositive finds a load that has no logarithm.
func (k *call) allPositive(s *sample, r *response) error {
	for i, x := range r.values {
		if !(x > 0) {
			return &page.Problem{Code: "impossible-value", At: k.c.Slots["y"].Place(),
				Message: r.column.Name + " of specimen " + s.frame.SpecimenName(i) + " is not above 0, and a strength has to be",
				Hint:    "leave it out with for " + r.column.Name + " > 0"}
		}
	}
	return nil
}

// fit fits both distributions; the design, and what depends in it, is that of the
// least-squares fit of ln load.
func (u *oneMode) fit(k *call, b blueprint) error {
	m := design.Model{Terms: b.terms}
	for _, c := range b.columns {
		v, err := u.sample.variable(k.ctx, c)
		if err != nil {
			return err
		}
		m.Variables = append(m.Variables, v)
	}
	ln := &response{column: u.load.column, function: "ln", values: make([]float64, len(u.load.values))}
	for i, x := range u.load.values {
		ln.values[i] = math.Log(x)
	}
	f, err := linear.Solve(k.ctx, ln.values, m)
	if err != nil {
		return err
	}
	u.place = &fitted{Fit: f, by: f, sample: u.sample, response: ln, command: k.c}
	s := strength.Sample{Load: u.load.values, Ended: u.ended}
	for j, c := range f.Coefficients {
		if !c.Dependent {
			u.kept = append(u.kept, j)
			s.Columns = append(s.Columns, f.Matrix.Columns[j])
		}
	}
	first, second := strength.Weibull, strength.Lognormal
	if k.c.Options["lognormal"] {
		first, second = second, first
	}
	if k.c.Options["lognormal"] && k.c.Options["weibull"] {
		return &page.Problem{Code: "two-ways", Message: "weibull and lognormal are two ways to scatter and cannot both be asked for",
			Hint: "ask for one of them: the other is set beside it anyway"}
	}
	if u.Fit, err = strength.Solve(k.ctx, s, first); err != nil {
		return u.problem(err)
	}
	u.other, err = strength.Solve(k.ctx, s, second)
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
	p := &page.Problem{Code: e.Code, At: u.mode.At}
	switch e.Code {
	case "too-few-breaks":
		p.Message = fmt.Sprintf("in %d specimens %s, too few to settle %d figures at once", e.Breaks, u.was(), e.Columns+1)
		p.Hint = "leave terms out, or break more specimens"
	case "all-equal":
		p.Message = "the terms account for every load at which " + u.was() + " exactly, so there is no scatter to judge by"
	default:
		p.Message = "the likelihood of these loads has no peak that could be reached"
	}
	return p
}

// weights are those of the coefficients fitted here at a point of the design.
func (u *oneMode) weights(p linear.Point) ([]float64, bool) {
	all, ok := u.place.Weights(p)
	if !ok {
		return nil, false
	}
	w := make([]float64, len(u.kept))
	for i, j := range u.kept {
		w[i] = all[j]
	}
	return w, true
}
