package groups

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/models/checks"
	"breakbook/models/compare"
	"breakbook/models/curves"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// shapeMeans says what the Shapiro–Wilk test found.
func shapeMeans(p float64, n int) string {
	const few = 10
	switch {
	case p < say.Alarm:
		return "the residuals are not bell-shaped as the intervals assume; look at the odd specimens, " +
			"or compare ranked or reshuffled"
	case n < few:
		return "nothing against a bell shape, but so few specimens would hardly show it"
	}
	return "nothing against the bell shape that the intervals assume"
}

// spreadMeans says what the Brown–Forsythe test of a category found; allowed: the fit does not take spread as equal.
func spreadMeans(p float64, factor string, allowed bool) string {
	switch {
	case p < say.Alarm && allowed:
		return "the levels of " + factor + " scatter unequally, which this fit allows for"
	case p < say.Alarm:
		return "the levels of " + factor + " scatter unequally; add uneven spread"
	}
	return "nothing against one spread for all levels of " + factor
}

// oddMeans says what Grubbs's test found about the specimen that lies furthest off.
func oddMeans(p float64, specimen string, n int) string {
	if p < say.Alarm {
		return "specimen " + specimen + " lies further off than chance allows; see what happened to it before " +
			"setting it aside"
	}
	return "the furthest is specimen " + specimen + ", within what is expected of " + strconv.Itoa(n) + " specimens"
}

// severalMeans says what the search for several odd specimens found.
func severalMeans(names []string) string {
	switch len(names) {
	case 0:
		return "no group of odd specimens, that would hide each other, was found"
	case 1:
		return "specimen " + names[0] + " alone is odd"
	}
	return "specimens " + say.Listed(names) + " are odd together; singly they would hide each other"
}

// bendMeans says whether a number column wants its square.
func bendMeans(p float64, column string) string {
	if p < say.Alarm {
		return "a straight line along " + column + " misses a bend; try " + column + " curved"
	}
	return "no bend along " + column + " to be seen"
}

// fanMeans says whether the scatter goes with what is expected; logs: its logarithm
// could be tried; allowed: the fit does not take spread as equal.
func fanMeans(p float64, measure string, logs, allowed bool) string {
	switch {
	case p >= say.Alarm:
		return "the scatter is alike for weak and strong joints"
	case allowed:
		return "the scatter changes with the " + measure + " expected, which this fit allows for"
	case logs:
		return "the scatter changes with the " + measure + " expected; add uneven spread, or try its logarithm"
	}
	return "the scatter changes with the " + measure + " expected; add uneven spread"
}

// checkError says why a check could not be made.
func checkError(err error) string {
	var e *checks.Error
	if errors.As(err, &e) {
		switch e.Code {
		case "too-few-specimens":
			return "too few specimens to see anything"
		case "too-many-specimens":
			return "made for up to 5000 specimens; with more, any small departure shows: draw the residuals"
		case "all-equal":
			return "the residuals do not vary"
		case "no-freedom-left":
			return "too few specimens beyond the figures fitted"
		case "nothing-varies":
			return "the same is expected of every specimen"
		case "not-a-number":
			return "a residual is not a number"
		}
	}
	return err.Error()
}

// bendReason says why a bend was not asked about.
func bendReason(reason, column string) string {
	switch reason {
	case "two-values":
		return column + " has two values only, which show no bend"
	case "curved-already":
		return "the bend along " + column + " is in the fit already"
	case "no-freedom-left", "too-few-specimens":
		return "too few specimens beyond the figures fitted"
	}
	return reason
}

// alarm is one check that raised one.
type alarm struct {
	meaning     string
	probability float64
}

// checked is the lead of a check: what it found, the surest first, or that it found nothing.
func checked(measure string, n, tests int, found []alarm) page.Sentence {
	if tests == 0 {
		return page.Say("The intervals of "+measure+" could not be checked: the residuals of ", n,
			" specimens are too few.")
	}
	if len(found) == 0 {
		return page.Say("Nothing found against the intervals of "+measure+": ", tests,
			say.Plural(tests, " test", " tests")+" of the residuals of ", n, " specimens raised no alarm.")
	}
	return page.Say("Before the intervals of "+measure+" are trusted: ", page.Joined(found, ". Also: ",
		func(f alarm) page.Sentence { return page.Say(f.meaning+" (", page.Chance(f.probability), ")") }), ".")
}

// Why a specimen is listed.
const (
	whyOdd      = "lies further off than chance allows (Grubbs)"
	whySeveral  = "one of several that are odd together (Rosner)"
	whyAlone    = "alone on its level: nothing else says what to expect of it; value: leverage"
	whyLeverage = "pulls the fit its way by where it lies; value: leverage, over three times the average"
	whyDeleted  = "far from what the others predict; value: residual in standard errors of that prediction, " +
		"over 3 (common practice, no source)"
	whyDistance = "the estimates move without it; value: Cook's distance, beyond their 10 % region (Cook 1977)"
)

const (
	// fewestForSeveral is the number of specimens under which several odd ones are not
	// looked for (Rosner 1983 made his test for 25 and more).
	fewestForSeveral = 25
	// mostOdd bounds how many odd specimens are looked for at once.
	mostOdd = 10
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

func (c *checker) shape() {
	const test = "Shapiro–Wilk, shape of the residuals"
	if c.fixed(test) {
		return
	}
	residuals, _ := checks.WeightedResiduals(c.k.Context, c.fit)
	w, p, err := checks.ShapiroWilk(residuals)
	if err != nil {
		c.without(test, checkError(err))
		return
	}
	c.put(test, checks.Test{Statistic: w, DF: math.NaN(), P: p}, shapeMeans(p, len(residuals)))
}

// spreads sets the spreads of the levels of every category of the fit against each other.
func (c *checker) spreads() {
	residuals, specimens := checks.WeightedResiduals(c.k.Context, c.fit)
	for _, v := range c.fit.Matrix.Model.Variables {
		if !v.IsCategory() {
			continue
		}
		test := "Brown–Forsythe, spread by " + v.Name
		groups := make([][]float64, len(v.Levels))
		for i, e := range residuals {
			parallel.LookAt(c.k.Context, i)
			code := v.Codes[specimens[i]]
			groups[code] = append(groups[code], e)
		}
		groups = slices.DeleteFunc(groups, func(g []float64) bool { return len(g) < 2 })
		o, err := compare.BrownForsythe(c.k.Context, groups)
		if err != nil || math.IsNaN(o.F) {
			c.without(test, "two levels with two specimens each are needed, and some spread")
			continue
		}
		c.put(test, checks.Test{Statistic: o.F, DF: o.DF1, P: o.P}, spreadMeans(o.P, v.Name, c.uneven))
		c.values.Spreads.Add("spread_by_"+v.Name+"_df_against", "spread by "+v.Name+": against", page.N(o.DF2))
	}
}

// list adds a specimen that is worth a look.
func (c *checker) list(i int, why string, value float64) {
	name := c.sample.Frame.SpecimenName(i)
	c.seen = append(c.seen, specimenRow{name, why, value})
	if !c.worried[name] {
		c.worried[name] = true
		c.worries = append(c.worries, name)
	}
}

// oddOnes tests the furthest specimen, and looks for several.
func (c *checker) oddOnes() error {
	const one, many = "Grubbs, the furthest specimen", "Rosner, several odd specimens"
	odd, err := checks.Oddest(c.plain, say.Alarm)
	if err != nil {
		c.without(one, checkError(err))
		return nil
	}
	c.put(one, checks.Test{Statistic: odd.G, DF: odd.DF, P: odd.P},
		oddMeans(odd.P, c.sample.Frame.SpecimenName(odd.Specimen), c.plain.N))
	c.values.oddestValues = &oddestValues{odd.Critical}
	if c.plain.N < fewestForSeveral {
		if odd.P < say.Alarm {
			c.list(odd.Specimen, whyOdd, odd.G)
		}
		return nil
	}
	steps, n, err := checks.Several(c.k.Context, c.plain, mostOdd, say.Alarm)
	if err != nil {
		return err
	}
	names := lists.Mapped(steps[:n], func(s checks.Odd) string { return c.sample.Frame.SpecimenName(s.Specimen) })
	shown := steps[max(n-1, 0)]
	meaning := severalMeans(names)
	c.rows = append(c.rows, testRow{many, page.Quantity{Value: shown.G}, shown.DF, math.NaN(), meaning})
	if n > 0 && !(odd.P < say.Alarm) {
		c.alarms = append(c.alarms, alarm{meaning, say.Alarm})
	}
	for i, s := range steps[:n] {
		why := whySeveral
		if i == 0 && odd.P < say.Alarm {
			why = whyOdd
		}
		c.list(s.Specimen, why, s.G)
	}
	c.values.severalValues = &severalValues{n}
	return nil
}

// bends asks of every number column whether its square has something to add.
func (c *checker) bends() error {
	bends, err := checks.Bends(c.k.Context, c.plain)
	if err != nil {
		return err
	}
	for _, b := range bends {
		name := c.plain.Matrix.Model.Variables[b.Variable].Name
		test := "curvature along " + name
		if b.Reason != "" || math.IsNaN(b.P) {
			c.without(test, bendReason(b.Reason, name))
			continue
		}
		c.put(test, b.Test, bendMeans(b.P, name))
		c.values.Bends.Add("curvature_along_"+name+"_df_against", "curvature along "+name+": against", page.N(b.DF2))
	}
	return nil
}

// fan asks whether the scatter goes with what is expected.
func (c *checker) fan() {
	const test = "spread against fit"
	if c.fixed(test) {
		return
	}
	t, err := checks.SpreadAgainstFit(c.k.Context, c.plain)
	if err != nil {
		c.without(test, checkError(err))
		return
	}
	c.put(test, t, fanMeans(t.P, c.response.Measure(), c.response.Plain() &&
		slices.Min(c.response.Values) > 0, c.uneven))
	c.values.fanValues = &fanValues{t.DF2}
}

// drift goes by the column marked as order, else by the rows of the file.
func (c *checker) drift() {
	test := "drift in row order (no column is marked as order)"
	order := lists.Mapped(c.sample.Rows, func(row int) float64 { return float64(row) })
	if marked, ok := c.sample.Frame.RoleColumn(frames.Order); ok && marked.Kind == frames.Number {
		if numbers, err := c.sample.Number(marked.Name); err == nil {
			test, order = "drift in test order ("+marked.Name+")", numbers
		}
	} else if c.sorted() {
		c.without(test, "the rows are sorted by "+c.response.Column.Name+", whatever the order of testing was")
		return
	}
	if c.fixed(test) {
		return
	}
	if slices.ContainsFunc(order, math.IsNaN) {
		c.without(test, "some specimens have no number there")
		return
	}
	d, err := checks.Drift(c.k.Context, c.fit, order)
	var e *checks.Error
	switch {
	case errors.As(err, &e) && e.Code == "nothing-varies":
		c.without(test, "the terms account for the order whole")
	case err != nil:
		c.without(test, checkError(err))
	default:
		c.put(test, d, say.DriftMeans(d.P))
	}
}

// leastSorted is how many rows follow another of their levels in a sheet that is called sorted: of two levels of four
// specimens in any order, three in a thousand stand so by chance.
const leastSorted = 6

// sorted reports whether the rows stand in order of the response, all upwards or all downwards, within the levels of
// the fit's categories.
func (c *checker) sorted() bool {
	before := map[string]float64{}
	up, down, steps := true, true, 0
	for i, y := range c.response.Values {
		parallel.LookAt(c.k.Context, i)
		levels := ""
		for _, v := range c.fit.Matrix.Model.Variables {
			if v.IsCategory() {
				levels += strconv.Itoa(v.Codes[i]) + " "
			}
		}
		if last, met := before[levels]; met {
			up, down, steps = up && y >= last, down && y <= last, steps+1
		}
		before[levels] = y
	}
	return up != down && steps >= leastSorted
}

// step is the rounding step of the gauge, compared with the residual sd.
func (c *checker) step() {
	readings, err := c.sample.Number(c.response.Column.Name)
	if err != nil {
		return
	}
	step, _ := curves.Step(c.k.Context, readings)
	sd := c.fit.Sigma
	if c.response.Function != "" {
		sd = session.SpreadOf(readings)
	}
	c.rows = append(c.rows, testRow{"rounding step of " + c.response.Column.Name, page.Quantity{Value: step,
		Unit: c.response.Column.Unit.String()}, math.NaN(), math.NaN(), say.StepMeans(step, sd)})
}

// influences lists the specimens that the answers may depend on. A mean alone moves that far with most specimens, so
// there only the far ones are listed.
func (c *checker) influences() {
	limits := checks.LimitsOf(c.plain)
	for i, one := range checks.Influences(c.k.Context, c.plain) {
		parallel.LookAt(c.k.Context, i)
		if one.Alone {
			c.list(one.Specimen, whyAlone, one.Leverage)
			continue
		}
		if one.Leverage > limits.Leverage {
			c.list(one.Specimen, whyLeverage, one.Leverage)
		}
		if math.Abs(one.Deleted) > limits.Deleted {
			c.list(one.Specimen, whyDeleted, one.Deleted)
		}
		if one.Distance > limits.Distance && len(c.plain.Coefficients) > 1 {
			c.list(one.Specimen, whyDistance, one.Distance)
		}
	}
}
