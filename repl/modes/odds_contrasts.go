package modes

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// contrast is the odds of a mode at one point of the design over those at another.
type contrast struct {
	mode    int
	points  [2]designPoint
	names   [2]page.Sentence // of these, without their column
	key     string
	said    say.Odds
	gap     say.Gap // on the log odds
	finding page.Sentence
	clear   float64
}

// setKey gives it the key of its answer.
func (c *contrast) setKey(key string) {
	c.key, c.said.Of, c.gap.Of = key, key, key
	c.finding = c.said.Sentence()
}

// contrasts sets the levels of each category against each other, mode by mode, pairs and modes
// adjusted for by Bonferroni's inequality, and takes each number column from the lowest value
// seen to the highest; number columns are otherwise at their mean and other categories
// averaged level by level, on the log odds. The clearest is first.
//
// The answer is decided by the profile interval of the log odds: it differs where that excludes
// zero. The size worth having is in percent points of the chance (of the joints in this mode
// or the one it is compared with): the 90 % interval of the odds ratio is carried to chances from
// the estimated chance of the first level, and there is no difference worth having where that
// lies wholly inside.
func (o *modeOdds) contrasts(k *session.Call, conf float64) ([]contrast, error) {
	worth, err := worthOfChance(k)
	if err != nil {
		return nil, err
	}
	var out []contrast
	for i, v := range o.Place.Model().Variables {
		points := o.designPoints(i)
		pairs := len(points) * (len(points) - 1) / 2
		for m := 1; m < len(o.names); m++ {
			for b := range points {
				for a := range b {
					c, ok, err := o.contrast(k, m, points[a], points[b], pairs*(len(o.names)-1), worth, conf)
					if err != nil {
						return nil, err
					}
					if !ok {
						continue
					}
					if v.IsCategory() {
						for i, p := range c.points {
							c.names[i] = page.Say(strings.TrimSpace(p.name + " " + v.Unit))
							c.said.Counted[i] = o.counted(m, p)
						}
						c.setKey(v.Name + ": " + points[a].name + ", " + points[b].name + "; " + o.names[m])
					} else {
						col, _ := o.Place.Sample.Frame.Column(v.Name)
						lo, hi := session.MinMax(v.Numbers)
						for i, p := range c.points {
							c.names[i] = page.Say(session.Seen(p.at, lo, hi, v.Unit))
						}
						c.said.Number, c.said.Inner = session.InSentence(col), o.tenths
						c.said.First, c.said.Second = c.names[0], c.names[1]
						c.setKey(v.Name + "; " + o.names[m])
					}
					out = append(out, c)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b contrast) int { return cmp.Compare(b.clear, a.clear) })
	return out, nil
}

// findings are those of the contrasts, the clearest first and at most mostNamed. The pairs of a
// column's levels that cannot be told apart are named together, mode by mode, where the first of them stands.
func (o *modeOdds) findings(all []contrast) []page.Sentence {
	type group struct{ mode, variable int }
	undecided := map[group][]contrast{}
	of := map[group]int{} // contrasts of it, told or not
	for _, c := range all {
		g := group{c.mode, c.variable()}
		of[g]++
		if c.said.Number == "" && c.said.Answer == verdict.CannotTell {
			undecided[g] = append(undecided[g], c)
		}
	}
	var out []page.Sentence
	for _, c := range all {
		g := group{c.mode, c.variable()}
		together := undecided[g]
		switch {
		case len(out) == mostNamed:
			return out
		case c.said.Number != "" || c.said.Answer != verdict.CannotTell || len(together) == 1:
			out = append(out, c.finding)
		case c.key == together[0].key:
			out = append(out, o.together(together, of[g] > len(together)))
		}
	}
	return out
}

// together tells pairs of levels that cannot be told: the chances of their levels, the smallest
// probability, and what would settle the hardest of them.
func (o *modeOdds) together(pairs []contrast, other bool) page.Sentence {
	lead := pairs[0].said
	t := say.OddsTogether{Mode: lead.Mode, Among: lead.Among, Pairs: len(pairs), Other: other, Family: lead.Family,
		Probability: 1, Worth: lead.Worth, Enough: lead.Enough}
	met := map[int]say.LevelChance{}
	for _, c := range pairs {
		for i, level := range []page.Sentence{c.said.First, c.said.Second} {
			met[c.points[i].level] = say.LevelChance{Level: level, Chance: c.said.Chances[i],
				Counted: c.said.Counted[i]}
		}
		t.Probability = math.Min(t.Probability, c.said.Probability)
		if e := c.said.Enough; t.Enough.N > 0 && (e.N == 0 || e.N > t.Enough.N) {
			t.Enough = e
		}
	}
	for _, l := range slices.Sorted(maps.Keys(met)) {
		t.Levels = append(t.Levels, met[l])
	}
	return t.Sentence()
}

// worthOfChance is the size worth having as a share of chance: a percentage, or a number
// without a unit, is percent points (percentage points); a size in a unit is none of a chance.
func worthOfChance(k *session.Call) (session.Smallest, error) {
	w, err := k.WorthAsked()
	share := w.Share
	if w.Amount > 0 {
		share = 0
		if w.Unit == "" {
			share = w.Amount / 100
		} else if err := k.RefuseWorth("chances differ by percentage points, not by an amount in "+w.Unit,
			"worth 10%"); err != nil {
			return session.Smallest{}, err
		}
	}
	return session.Smallest{Value: share, Said: say.Worth{Value: 100 * share, Unit: page.PercentagePoints}}, err
}

// designPoints are the levels of a category, or the two values that a number column is told between.
func (o *modeOdds) designPoints(variable int) []designPoint {
	return o.points(variable, func(numbers []float64) (low, high float64) {
		if o.tenths {
			low, high, _ = fitted.OuterDeciles(numbers)
			return low, high
		}
		return session.MinMax(numbers)
	})
}

// counted is how many specimens of a level ended in a mode, of those that ended in it or in the
// one it is compared with.
func (o *modeOdds) counted(mode int, level designPoint) say.Counted {
	var c say.Counted
	for i, code := range o.Place.Model().Variables[level.variable].Codes {
		if code != level.level {
			continue
		}
		switch o.codes[i] {
		case mode:
			c.Failed++
			c.Of++
		case 0:
			c.Of++
		}
	}
	return c
}

func (c contrast) variable() int { return c.points[0].variable }

// moves is how far a contrast moves the chance, and its interval, in percentage points.
func (c contrast) moves() (size float64, r verdict.Range) {
	s := c.said
	at := func(ratio float64) float64 { return 100 * (shiftOdds(s.Chances[0], math.Log(ratio)) - s.Chances[0]) }
	return at(s.Ratio), s.Range.Each(at)
}

// unlikeCounted reports whether a chance by the fit is a tenth or more off the share that was counted.
func (c contrast) unlikeCounted() bool {
	for i, n := range c.said.Counted {
		if n.Of > 0 && math.Abs(c.said.Chances[i]-float64(n.Failed)/float64(n.Of)) >= 0.1 {
			return true
		}
	}
	return false
}

// contrast compares point b with a; false where the terms do not distinguish them.
func (o *modeOdds) contrast(k *session.Call, m int, a, b designPoint, of int, worth session.Smallest,
	conf float64) (contrast, bool, error) {
	w, differ := b.above(a)
	if !differ {
		return contrast{}, false, nil
	}
	name := a.said + " against " + b.said
	e, err := o.Combination(k.Context, m, w, 1-(1-conf)/float64(of))
	if err = o.Of(name, err); err != nil {
		return contrast{}, false, err
	}
	first, second := o.chance(m, a.row), o.chance(m, b.row)
	ninety := e.Range
	// else no interval about it lies within the size worth having
	if math.Abs(shiftOdds(first, e.Value)-first) < worth.Value {
		ninety, err = o.Range(k.Context, m, w, 1-0.10/float64(of))
		if err = o.Of(name, err); err != nil {
			return contrast{}, false, err
		}
	}
	moved := func(by float64) float64 { return shiftOdds(first, by) - first }
	s := say.Odds{Mode: o.column.Column + " is " + o.names[m], Among: "of joints", First: page.Say(a.said),
		Second: page.Say(b.said), Chances: [2]float64{first, second}, Ratio: math.Exp(e.Value), Confidence: conf,
		Worth: worth.Said, Range: e.Range.Each(math.Exp), Probability: math.Min(1, e.P*float64(of)),
		Answer: verdict.Decide(e.Range.Each(moved), ninety.Each(moved), worth.Value)}
	switch {
	case len(o.Place.Sample.Unbroken) > 0 && len(o.names) == 2:
		s.Among = "of the joints that broke"
	case len(o.names) > 2:
		s.Among = "of the joints that broke in " + o.names[m] + " or " + o.names[0]
	}
	if of > 1 {
		s.Family = "adjusted for comparing all pairs"
	}
	if s.Answer == verdict.CannotTell && worth.Value > 0 {
		s.Enough = enoughBy(k, e.Range, logOddsOf(worth.Value, first), conf, of, o.N)
	}
	return contrast{mode: m, points: [2]designPoint{a, b}, said: s,
		gap: say.Gap{Value: e.Value, Range: e.Range, Answer: s.Answer}, clear: math.Abs(e.Value) / e.SE}, true, nil
}

// chance is that of a mode at a row of the design, of this mode and the one it is compared with.
func (o *modeOdds) chance(m int, row []float64) float64 {
	p := o.Chances(row)
	return p[m] / (p[m] + p[0])
}

// logOddsOf is how far the log odds are from the chance p to the nearer of p ± by, those that are
// chances.
func logOddsOf(by, p float64) float64 {
	size := math.Inf(1)
	for _, to := range []float64{p - by, p + by} {
		if to > 0 && to < 1 {
			size = math.Min(size, math.Abs(math.Log(to/(1-to))-math.Log(p/(1-p))))
		}
	}
	return size
}

// shiftOdds is the chance p with ln of its odds moved.
func shiftOdds(p, by float64) float64 { return 1 / (1 + (1-p)/p*math.Exp(-by)) }

// contrastRow is the chance and odds of a mode at a level, or an end, against another.
type contrastRow struct {
	Mode         string  `id:"mode"`
	First        string  `id:"first"`
	Second       string  `id:"second"`
	ChanceFirst  float64 `id:"chance_first" style:"fraction"`
	ChanceSecond float64 `id:"chance_second" style:"fraction"`
	Ratio        float64 `id:"odds_ratio" style:"quotient"`
	Low          float64 `id:"low" style:"quotient"`
	High         float64 `id:"high" style:"quotient"`
	P            float64 `id:"p" style:"p"`
	Answer       string  `id:"answer"`
}

func (o *modeOdds) contrastTable(all []contrast, conf float64) page.Table {
	var rows []contrastRow
	for _, c := range all {
		s := c.said
		rows = append(rows, contrastRow{o.names[c.mode], c.points[0].name, c.points[1].name, s.Chances[0], s.Chances[1],
			s.Ratio, s.Range.Low, s.Range.High, s.Probability, s.Answer.Key()})
	}
	t := page.Table{ID: "contrasts", Title: page.Say("Chances and odds against each other"),
		Note: page.Say("odds ratio: second over first; low and high: ", page.Share(conf),
			" profile interval, adjusted for comparing all pairs, by Bonferroni's inequality; chances: number columns "+
				"at their mean, other categories averaged level by level on the log odds")}
	return page.Filled(t, rows, nil)
}
