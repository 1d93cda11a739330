package groups

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/checks"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Check asks whether what is assumed holds.
func Check(k *session.Call, cmd *phrase.Check) (*session.Outcome, error) {
	switch of := cmd.Subject.(type) {
	case phrase.ByLevels:
		return checkBy(k, of)
	case phrase.OfFit:
		return checkOf(k, of.Fit)
	}
	return nil, k.Unhandled()
}

// checkBy checks what the levels of a category leave over.
func checkBy(k *session.Call, of phrase.ByLevels) (*session.Outcome, error) {
	by := of.A
	s, r, err := k.Measured(of.Y, by.Column)
	if err != nil {
		return nil, err
	}
	v, err := s.Variable(k.Context, by.Column)
	if err != nil {
		return nil, err
	}
	m := design.Model{Variables: []design.Variable{v}}
	if slices.Min(v.Codes) != slices.Max(v.Codes) {
		m.Terms = []design.Term{{Factors: []design.Factor{{Variable: 0}}}}
	}
	f, err := linear.Solve(k.Context, r.Values, m)
	if err != nil {
		return nil, err
	}
	c := &checker{k: k, fit: f, plain: f, sample: s, response: r, factors: []string{by.Column},
		worried: map[string]bool{}}
	return c.run(r.Name() + " by " + by.Column)
}

// checkOf checks the residuals of an earlier fit.
func checkOf(k *session.Call, name phrase.Name) (*session.Outcome, error) {
	f, err := fitted.Named(k, name)
	if err != nil {
		return nil, err
	}
	c := &checker{k: k, fit: f.Fit, plain: f.Fit, sample: f.Sample, response: f.Y, factors: f.Known(), ofFit: true,
		uneven: f.Method.Uneven, worried: map[string]bool{}}
	if f.Method.Blocks != nil || f.Method.Resistant {
		if c.plain, err = linear.Solve(k.Context, f.Response, f.Model()); err != nil {
			return nil, err
		}
		k.Entry.Warn(page.Say("Odd and pulling specimens, bends and the change of scatter are checked on the plain " +
			"least-squares fit of the same terms."))
	}
	return c.run(f.Y.Name() + " on " + f.TermList() + f.Method.Said())
}

// testRow is one test of what is assumed.
type testRow struct {
	Test      string        `id:"test"`
	Statistic page.Quantity `id:"statistic" style:"ratio"`
	DF        float64       `id:"df" label:"degrees of freedom" style:"df" wide:"yes"`
	P         float64       `id:"p" style:"p"`
	Meaning   string        `id:"meaning"`
}

// specimenRow is one specimen worth a look.
type specimenRow struct {
	Specimen string  `id:"specimen"`
	Why      string  `id:"why"`
	Value    float64 `id:"value" style:"ratio"`
}

// checkValues are what the tests were set against.
type checkValues struct {
	Spreads page.Many `id:"spread_by_{column}_df_against" style:"df"`
	*oddestValues
	*severalValues
	Bends page.Many `id:"curvature_along_{column}_df_against" style:"df"`
	*fanValues
}

type oddestValues struct {
	Critical float64 `id:"grubbs_critical" style:"ratio" label:"Grubbs: critical value"`
}

type severalValues struct {
	Odd int `id:"odd_specimens"`
}

type fanValues struct {
	Against float64 `id:"spread_against_fit_df_against" style:"df" label:"spread against fit: against"`
}

// checker makes the tests of one fit, row by row.
type checker struct {
	k        *session.Call
	fit      *linear.Fit // whose residuals are checked
	plain    *linear.Fit // least squares of the same terms, for what rests on it
	sample   *session.Sample
	response *session.Response
	factors  []string // columns the fit knows of
	ofFit    bool
	uneven   bool // spread is not taken as equal

	rows    []testRow
	values  checkValues
	alarms  []alarm
	tests   int             // that gave a probability
	seen    []specimenRow   // worth a look
	worries []string        // their names, each once
	worried map[string]bool // the same
}

// run makes all tests and books them.
func (c *checker) run(of string) (*session.Outcome, error) {
	k := c.k
	if c.fit.Sigma == 0 {
		y, _ := phrase.Part[phrase.Response](k.Command)
		return nil, page.Refuse(page.CodeNoResiduals, y.At, "every value of "+c.response.Name()+
			" is met exactly: there are no residuals to check", k.LookHint())
	}
	c.shape()
	c.spreads()
	if err := c.oddOnes(); err != nil {
		return nil, err
	}
	if c.ofFit {
		if err := c.bends(); err != nil {
			return nil, err
		}
		c.fan()
	}
	c.drift()
	c.step()
	c.influences()
	slices.SortStableFunc(c.alarms, func(a, b alarm) int { return cmp.Compare(a.probability, b.probability) })
	lead := checked(c.response.Measure(), c.fit.N, c.tests, c.alarms)
	k.Entry.Find(lead)
	n := len(c.worries)
	k.Entry.Find(page.If(n > 0, "Worth a look: specimen"+say.Plural(n, " ", "s ")+say.Listed(c.worries)+
		". Whether an answer depends on "+say.Plural(n, "it", "them")+" shows when "+say.Plural(n, "it is", "they are")+
		" set aside and the question is asked again."))
	pairs := k.Associations(c.sample, c.response.Column.Name, c.factors)
	if len(pairs) > 0 {
		p := pairs[0]
		k.Entry.Find(page.Say(p.First+" and "+p.Second+" changed together in these specimens (association ",
			page.Num{Value: p.Strength, Style: page.Ratio}, "): "+say.TogetherMeans(p.Strength)+"."))
	}
	k.Entry.Tables = []page.Table{
		page.Filled(page.Table{ID: "tests", Title: page.Say("Residuals (measured less expected) of " + of),
			Note: page.Say("Each test raises a false alarm once in twenty times, so of several one may well be " +
				"false.")}, c.rows, nil),
		page.Filled(page.Table{ID: "specimens", Title: page.Say("Specimens worth a look"),
			Note: page.If(len(c.seen) == 0, "None lies far off, and no answer depends on a single one.")}, c.seen, nil),
		session.AssociationTable(pairs)}
	k.Entry.Values = page.ValuesOf(c.values, nil)
	answer := verdict.CannotTell
	if len(c.alarms) > 0 {
		answer = verdict.Differs
	}
	mains := []session.Answer{{Key: "check", Finding: lead, Gap: say.Gap{Answer: answer}}}
	return session.Tested(c.sample, c.response, c.factors, mains).Keeping(session.Result{Columns: c.factors}), nil
}

// put adds a test that gave a probability.
func (c *checker) put(test string, t checks.Test, meaning string) {
	c.tests++
	c.rows = append(c.rows, testRow{test, page.Quantity{Value: t.Statistic}, t.DF, t.P, meaning})
	if t.P < say.Alarm {
		c.alarms = append(c.alarms, alarm{meaning, t.P})
	}
}

func (c *checker) without(test, reason string) {
	c.rows = append(c.rows, testRow{test, page.Quantity{Value: math.NaN()}, math.NaN(), math.NaN(), reason})
}

// fixed adds a test as one that could not be made where one degree of freedom is left: the residuals then have the
// same pattern, and any test of it the same p, whatever was measured.
func (c *checker) fixed(test string) bool {
	if c.plain.DF >= 2 {
		return false
	}
	c.without(test, checkError(&checks.Error{Code: "no-freedom-left"}))
	return true
}
