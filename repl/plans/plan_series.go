package plans

import (
	"math"

	"breakbook/models/lists"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// pilot is what a plan is calculated from: the means and spread of the present series.
type pilot struct {
	sample   *session.Sample
	response *session.Response
	factors  []phrase.ColumnRef
	levels   []int
	named    [][]string       // the levels
	base     float64          // mean of the baseline combination; of all, without factors
	sd, df   float64          // pooled within combinations; NaN where unknown
	baseN    int              // specimens behind base
	blocks   *blockLayout     // nil without marked blocks
	mains    []session.Answer // what the plan depends on
	fit      *fitted.Fit      // whose spread it is; nil: what the levels leave
	terms    int              // its coefficients
	others   int              // of these, beside the baseline and the levels
}

func (g *pilot) cells() int {
	n := 1
	for _, k := range g.levels {
		n *= k
	}
	return n
}

func (g *pilot) names() []string {
	return lists.Mapped(g.factors, func(f phrase.ColumnRef) string { return f.Column })
}

func levelNames(groups []session.Group) []string {
	return lists.Mapped(groups, func(g session.Group) string { return g.Level })
}

// readLevels reads the levels of a factor.
func (g *pilot) readLevels(k *session.Call, f phrase.ColumnRef) error {
	own, err := k.Groups(g.sample, g.response.Values, f)
	g.levels, g.named = append(g.levels, len(own)), append(g.named, levelNames(own))
	return err
}

// called is what the plan makes specimens of, in a sentence; "" where there is one kind of them only.
func (g *pilot) called() string {
	if g.cells() == 1 {
		return ""
	}
	return session.CalledBy(g.names())
}

// readPilot reads the series a plan is calculated from.
func readPilot(k *session.Call, y phrase.Response, factors []phrase.ColumnRef) (*pilot, error) {
	g := &pilot{factors: factors}
	columns, err := k.WithBlocks(g.names())
	if err != nil {
		return nil, err
	}
	if g.sample, g.response, err = k.Measured(y, columns...); err != nil {
		return nil, err
	}
	cells := []session.Cell{{Group: session.Group{Values: g.response.Values}}}
	if len(factors) > 0 {
		if cells, err = k.Cells(g.sample, g.response.Values, factors); err != nil {
			return nil, err
		}
	}
	for _, f := range factors {
		if err := g.readLevels(k, f); err != nil {
			return nil, err
		}
	}
	squares := 0.0
	for i, c := range cells {
		mean := session.Means([][]float64{c.Values})[0]
		if i == 0 {
			g.base, g.baseN = mean, len(c.Values)
		}
		for _, x := range c.Values {
			squares += (x - mean) * (x - mean)
		}
		g.df += float64(len(c.Values) - 1)
	}
	g.sd = math.Sqrt(squares / g.df) // NaN for no degrees of freedom
	g.blocks, err = blocked(k, g)
	return g, err
}

// shareOrAmount is a percentage of the series' mean, or an amount, on the response's own
// scale; on a logarithm a percentage is a ratio.
func shareOrAmount(k *session.Call, a phrase.Amount, g *pilot) (float64, error) {
	r := g.response
	if !(a.Value > 0) {
		return 0, page.Refuse(page.CodeOutOfRange, a.At, "an amount over zero is needed here", "10%")
	}
	switch {
	case a.Percent && r.Logged():
		return math.Log1p(a.Value), nil
	case a.Percent && (session.NoRatio(r.Column) || !(k.MeanOfSeries(r) > 0)):
		return 0, page.Refuse(page.CodeNoRatio, a.At, "a percentage of "+r.Name()+
			" means nothing, for it has no natural zero or a mean that is not over it", "give an amount instead")
	case a.Percent:
		return a.Value * k.MeanOfSeries(r), nil
	case !r.Plain():
		return 0, page.Refuse(page.CodeWrongDimension, a.At, "on "+r.Name()+" a difference is given as a percentage",
			"10%")
	}
	return session.InUnit(a.Value, a.Unit, r.Unit(), a.At)
}

// planSpread is the sd to plan with, and its upper limit where it is the series' own. A spread
// that is given is parted over blocks as that of the series is.
func planSpread(k *session.Call, g *pilot, asked *phrase.Amount, at int) (sd, high float64, err error) {
	if asked != nil {
		sd, err = shareOrAmount(k, *asked, g)
		if g.blocks != nil && g.blocks.known && err == nil {
			g.blocks.rescale(sd)
		}
		return sd, math.NaN(), err
	}
	if !(g.sd > 0) {
		return 0, 0, page.Refuse(page.CodeNoSpread, at, "these specimens do not tell how "+g.response.Name()+
			" scatters", "give it: spread 12%")
	}
	return g.sd, plan.HighSpread(g.sd, g.df, highSpread), nil
}
