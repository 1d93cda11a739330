package kernel

import (
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/checks"
	"breakbook/models/compare"
	"breakbook/models/curves"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

const (
	// fewestForSeveral is the number of specimens under which several odd ones are not
	// looked for (Rosner 1983 made his test for 25 and more).
	fewestForSeveral = 25
	// mostOdd bounds how many odd specimens are looked for at once.
	mostOdd = 10
)

// checkBy checks what the levels of a category leave over.
func checkBy(k *call) (*Session, error) {
	by := k.column("a")
	s, r, err := k.measured(by.Column)
	if err != nil {
		return nil, err
	}
	v, err := s.variable(k.ctx, by.Column)
	if err != nil {
		return nil, err
	}
	m := design.Model{Variables: []design.Variable{v}}
	if slices.Min(v.Codes) != slices.Max(v.Codes) {
		m.Terms = []design.Term{{Factors: []design.Factor{{Variable: 0}}}}
	}
	f, err := linear.Solve(k.ctx, r.values, m)
	if err != nil {
		return nil, err
	}
	c := &checker{k: k, left: f, plain: f, sample: s, response: r, factors: []string{by.Column}}
	return c.run(r.name() + " by " + by.Column)
}

// checkOf checks what an earlier fit left over.
func checkOf(k *call) (*Session, error) {
	f, err := k.earlierFit()
	if err != nil {
		return nil, err
	}
	c := &checker{k: k, left: f.Fit, plain: f.Fit, sample: f.sample, response: f.response, factors: f.known(), ofFit: true, uneven: f.way.uneven}
	if f.way.blocks != nil || f.way.resistant {
		if c.plain, err = linear.Solve(k.ctx, f.Response, f.model()); err != nil {
			return nil, err
		}
		k.e.Cautions = append(k.e.Cautions, page.Say("Odd and pulling specimens, bends and the change of scatter are checked on the plain least-squares fit of the same terms."))
	}
	return c.run(f.response.name() + " on " + f.termList() + f.way.said())
}

// checker makes the tests of one fit, row by row.
type checker struct {
	k        *call
	left     *linear.Fit // whose leftovers are checked
	plain    *linear.Fit // least squares of the same terms, for what rests on it
	sample   *sample
	response *response
	factors  []string // columns the fit knows of
	ofFit    bool
	uneven   bool // spread is not taken as equal

	rows    [][]page.Cell
	values  []page.Value
	found   []say.Found
	tests   int           // that gave a probability
	seen    [][]page.Cell // rows of specimens worth a look
	worries []string      // their names, each once
}

// run makes all tests and books them.
func (c *checker) run(of string) (*Session, error) {
	k := c.k
	if c.left.Sigma == 0 {
		return nil, &page.Problem{Code: "nothing-left-over", At: k.slotPlace("y"), Message: "every value of " + c.response.name() + " is met exactly: nothing is left over to check",
			Hint: k.lookHint()}
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
	slices.SortStableFunc(c.found, func(a, b say.Found) int {
		switch {
		case a.Probability < b.Probability:
			return -1
		case a.Probability > b.Probability:
			return 1
		}
		return 0
	})
	lead := say.Checked(c.response.measure(), c.left.N, c.tests, c.found)
	k.e.Findings = append(k.e.Findings, lead)
	if len(c.worries) > 0 {
		k.e.Findings = append(k.e.Findings, say.WorthALook(c.worries))
	}
	pairs := c.k.wentTogether(c.sample, c.response.column.Name, c.factors)
	if len(pairs) > 0 {
		k.e.Findings = append(k.e.Findings, say.WentTogether(pairs[0].first, pairs[0].second, pairs[0].strength))
	}
	k.e.Tables = []page.Table{c.testTable(of), c.specimenTable(), togetherTable(pairs)}
	k.e.Values = c.values
	answer := verdict.CannotTell
	if len(c.found) > 0 {
		answer = verdict.Differs
	}
	mains := []main{{key: "check", told: lead, gap: say.Gap{Answer: answer}}}
	return k.book(k.answered(c.sample, c.response, c.factors, mains), result{columns: c.factors})
}

// put adds a test that gave a probability.
func (c *checker) put(test string, t checks.Test, meaning string) {
	c.tests++
	c.rows = append(c.rows, []page.Cell{page.T(test), page.N(t.Statistic), page.N(t.DF), page.N(t.P), page.T(meaning)})
	if t.P < say.Alarm {
		c.found = append(c.found, say.Found{Meaning: meaning, Probability: t.P})
	}
}

// without adds a test that could not be made, with the reason.
func (c *checker) without(test, reason string) {
	c.rows = append(c.rows, []page.Cell{page.T(test), {}, {}, {}, page.T(reason)})
}

// against keeps the second degrees of freedom of an F test.
func (c *checker) against(id, label string, df float64) {
	v := figure(id, df, page.DF, "")
	v.Label = label
	c.values = append(c.values, v)
}

func (c *checker) shape() {
	const test = "Shapiro–Wilk, shape of what is left over"
	left, _ := checks.Leftovers(c.left)
	w, p, err := checks.ShapiroWilk(left)
	if err != nil {
		c.without(test, say.CheckError(err))
		return
	}
	c.put(test, checks.Test{Statistic: w, DF: math.NaN(), P: p}, say.ShapeMeans(p, len(left)))
}

// spreads sets the spreads of the levels of every category of the fit against each other.
func (c *checker) spreads() {
	left, specimens := checks.Leftovers(c.left)
	for _, v := range c.left.Matrix.Model.Variables {
		if !v.IsCategory() {
			continue
		}
		test := "Brown–Forsythe, spread by " + v.Name
		groups := make([][]float64, len(v.Levels))
		for i, e := range left {
			code := v.Codes[specimens[i]]
			groups[code] = append(groups[code], e)
		}
		groups = slices.DeleteFunc(groups, func(g []float64) bool { return len(g) < 2 })
		o, err := compare.BrownForsythe(c.k.ctx, groups)
		if err != nil || math.IsNaN(o.F) {
			c.without(test, "two levels with two specimens each are needed, and some spread")
			continue
		}
		c.put(test, checks.Test{Statistic: o.F, DF: o.DF1, P: o.P}, say.SpreadMeans(o.P, v.Name, c.uneven))
		c.against("spread_by_"+v.Name+"_df_against", "spread by "+v.Name+": against", o.DF2)
	}
}

func (c *checker) name(i int) string { return c.sample.frame.SpecimenName(i) }

// list adds a specimen that is worth a look.
func (c *checker) list(i int, why string, value float64) {
	name := c.name(i)
	c.seen = append(c.seen, []page.Cell{page.T(name), page.T(why), page.N(value)})
	if !slices.Contains(c.worries, name) {
		c.worries = append(c.worries, name)
	}
}

// oddOnes tests the furthest specimen, and looks for several.
func (c *checker) oddOnes() error {
	const one, many = "Grubbs, the furthest specimen", "Rosner, several odd specimens"
	odd, err := checks.Oddest(c.plain, say.Alarm)
	if err != nil {
		c.without(one, say.CheckError(err))
		return nil
	}
	c.put(one, checks.Test{Statistic: odd.G, DF: odd.DF, P: odd.P}, say.OddMeans(odd.P, c.name(odd.Specimen)))
	c.values = append(c.values, figure("grubbs_critical", odd.Critical, page.Ratio, ""))
	c.values[len(c.values)-1].Label = "Grubbs: largest that chance allows"
	if c.plain.N < fewestForSeveral {
		if odd.P < say.Alarm {
			c.list(odd.Specimen, say.WhyOdd, odd.G)
		}
		return nil
	}
	steps, n, err := checks.Several(c.k.ctx, c.plain, mostOdd, say.Alarm)
	if err != nil {
		return err
	}
	var names []string
	for _, s := range steps[:n] {
		names = append(names, c.name(s.Specimen))
	}
	shown := steps[max(n-1, 0)]
	meaning := say.SeveralMeans(names, len(steps))
	c.rows = append(c.rows, []page.Cell{page.T(many), page.N(shown.G), page.N(shown.DF), {}, page.T(meaning)})
	if n > 0 && !(odd.P < say.Alarm) {
		c.found = append(c.found, say.Found{Meaning: meaning, Probability: say.Alarm})
	}
	for i, s := range steps[:n] {
		why := say.WhySeveral
		if i == 0 && odd.P < say.Alarm {
			why = say.WhyOdd
		}
		c.list(s.Specimen, why, s.G)
	}
	v := figure("odd_specimens", float64(n), page.Count, "")
	c.values = append(c.values, v)
	return nil
}

// bends asks of every number column whether its square has something to add.
func (c *checker) bends() error {
	bends, err := checks.Bends(c.k.ctx, c.plain)
	if err != nil {
		return err
	}
	for _, b := range bends {
		name := c.plain.Matrix.Model.Variables[b.Variable].Name
		test := "curvature along " + name
		if b.Reason != "" || math.IsNaN(b.P) {
			c.without(test, say.BendReason(b.Reason, name))
			continue
		}
		c.put(test, b.Test, say.BendMeans(b.P, name))
		c.against("curvature_along_"+name+"_df_against", "curvature along "+name+": against", b.DF2)
	}
	return nil
}

// fan asks whether the scatter goes with what is expected.
func (c *checker) fan() {
	const test = "spread against fit"
	t, err := checks.SpreadAgainstFit(c.plain)
	if err != nil {
		c.without(test, say.CheckError(err))
		return
	}
	c.put(test, t, say.FanMeans(t.P, c.response.measure(), c.response.function == "" && slices.Min(c.response.values) > 0, c.uneven))
	c.against("spread_against_fit_df_against", "spread against fit: against", t.DF2)
}

// drift goes by the column marked as order, else by the rows of the file.
func (c *checker) drift() {
	test := "drift in row order (no column is marked as order)"
	left, specimens := checks.Leftovers(c.left)
	order := make([]float64, len(left))
	for i, at := range specimens {
		order[i] = float64(c.sample.rows[at])
	}
	if marked, ok := c.sample.frame.RoleColumn(frames.Order); ok && marked.Kind == frames.Number {
		if numbers, err := c.sample.number(marked.Name); err == nil {
			test = "drift in test order (" + marked.Name + ")"
			for i, at := range specimens {
				order[i] = numbers[at]
			}
		}
	}
	d, err := curves.Drift(order, left)
	if err != nil {
		c.without(test, say.DriftError(err))
		return
	}
	c.put(test, checks.Test{Statistic: d.T, DF: d.DF, P: d.P}, say.DriftMeans(d.P))
}

// step is the rounding step of the gauge, set against the sd left over.
func (c *checker) step() {
	readings, err := c.sample.number(c.response.column.Name)
	if err != nil {
		return
	}
	step, _ := curves.Step(c.k.ctx, readings)
	sd := c.left.Sigma
	if c.response.function != "" {
		sd = spreadOf(readings)
	}
	cell := page.N(step)
	cell.Unit = c.response.column.Unit.String()
	c.rows = append(c.rows, []page.Cell{page.T("rounding step of " + c.response.column.Name), cell, {}, {}, page.T(say.StepMeans(step, sd))})
}

// influences lists the specimens that the answers may hang on.
func (c *checker) influences() {
	limits := checks.LimitsOf(c.plain)
	for _, one := range checks.Influences(c.k.ctx, c.plain) {
		if one.Alone {
			c.list(one.Specimen, say.WhyAlone, one.Leverage)
			continue
		}
		if one.Leverage > limits.Leverage {
			c.list(one.Specimen, say.WhyLeverage, one.Leverage)
		}
		if math.Abs(one.Deleted) > limits.Deleted {
			c.list(one.Specimen, say.WhyDeleted, one.Deleted)
		}
		if one.Distance > limits.Distance {
			c.list(one.Specimen, say.WhyDistance, one.Distance)
		}
	}
}

func (c *checker) testTable(of string) page.Table {
	return page.Table{ID: "tests", Title: page.Say("What is left over of " + of), Rows: c.rows, Columns: []page.Column{{ID: "test"},
		{ID: "statistic", Style: page.Ratio}, {ID: "df", Label: "degrees of freedom", Style: page.DF, Wide: true}, {ID: "p", Style: page.P}, {ID: "meaning"}},
		Note: page.Say("Each test raises a false alarm once in twenty times, so of several one may well be false.")}
}

func (c *checker) specimenTable() page.Table {
	t := page.Table{ID: "specimens", Title: page.Say("Specimens worth a look"), Rows: c.seen,
		Columns: []page.Column{{ID: "specimen"}, {ID: "why"}, {ID: "value", Style: page.Ratio}}}
	if len(t.Rows) == 0 {
		t.Note = page.Say("None lies far off, and no answer hangs on a single one.")
	}
	return t
}
