package groups

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/models/checks"
	"breakbook/models/compare"
	"breakbook/models/curves"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

const (
	// fewestForSeveral is the number of specimens under which several odd ones are not
	// looked for (Rosner 1983 made his test for 25 and more).
	fewestForSeveral = 25
	// mostOdd bounds how many odd specimens are looked for at once.
	mostOdd = 10
)

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
