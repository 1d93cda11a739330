package modes

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"breakbook/models/linear"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// contrast is the odds of a mode at one point of the design over those at another.
type contrast struct {
	mode, variable     int
	levels             [2]int // of the category, or -1
	first, second, key string
	names              [2]page.Sentence // first and second without their column
	said               say.Odds
	gap                say.Gap // on the log odds
	finding            page.Sentence
	clear              float64
}

// designPoint is a level of a category, or an end of a number column.
type designPoint struct {
	name, said string
	row        []float64
	level      int     // of the category, or -1
	at         float64 // of a number
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
	for i, v := range o.place.Model().Variables {
		points, number := o.designPoints(i)
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
					c.variable, c.levels = i, [2]int{points[a].level, points[b].level}
					if number {
						col, _ := o.place.Sample.Frame.Column(v.Name)
						c.said.Number, c.said.Inner = session.InSentence(col), o.tenths
						lo, hi := session.MinMax(v.Numbers)
						from, to := o.ends(v.Numbers)
						c.said.First = page.Say(session.Seen(from, lo, hi, v.Unit))
						c.said.Second = page.Say(session.Seen(to, lo, hi, v.Unit))
						c.names = [2]page.Sentence{c.said.First, c.said.Second}
						c.key = v.Name + "; " + o.names[m]
					}
					if !number {
						for i, name := range []string{c.first, c.second} {
							c.names[i] = page.Say(strings.TrimSpace(name + " " + v.Unit))
						}
						c.said.Counted = [2]say.Counted{o.counted(m, i, points[a].level), o.counted(m, i, points[b].level)}
					}
					if !number {
						c.key = v.Name + ": " + points[a].name + ", " + points[b].name + "; " + o.names[m]
					}
					c.said.Of, c.gap.Of = c.key, c.key
					c.finding = c.said.Sentence()
					out = append(out, c)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b contrast) int { return cmp.Compare(b.clear, a.clear) })
	return out, nil
}

// told are the findings of the contrasts, the clearest first and at most mostTold. The pairs of a
// column's levels that cannot be told are told together, mode by mode, where the first of them stands.
func (o *modeOdds) told(all []contrast) []page.Sentence {
	type group struct{ mode, variable int }
	untold := map[group][]contrast{}
	of := map[group]int{} // contrasts of it, told or not
	for _, c := range all {
		of[group{c.mode, c.variable}]++
		if c.said.Number == "" && c.said.Answer == verdict.CannotTell {
			g := group{c.mode, c.variable}
			untold[g] = append(untold[g], c)
		}
	}
	var out []page.Sentence
	for _, c := range all {
		g := group{c.mode, c.variable}
		together := untold[g]
		switch {
		case len(out) == mostTold:
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
		Probability: 1,
		Worth:       lead.Worth, Enough: lead.Enough}
	met := map[int]say.LevelChance{}
	for _, c := range pairs {
		for i, level := range []page.Sentence{c.said.First, c.said.Second} {
			met[c.levels[i]] = say.LevelChance{Level: level, Chance: c.said.Chances[i], Counted: c.said.Counted[i]}
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

// percentagePoints is the unit of a difference between chances.
const percentagePoints = "percentage points"

// worthOfChance is the size worth having as a share of chance: a percentage, or a number
// without a unit, is percent points (percentage points); a size in a unit is none of a chance.
func worthOfChance(k *session.Call) (session.Smallest, error) {
	w, err := k.WorthAsked()
	share := w.Share
	if w.Amount > 0 {
		share = 0
		if w.Unit == "" {
			share = w.Amount / 100
		}
	}
	return session.Smallest{Value: share, Said: say.Worth{Value: 100 * share, Unit: percentagePoints}}, err
}

// designPoints are the levels of a category, or the two ends of a number column, that the terms can place.
func (o *modeOdds) designPoints(variable int) (out []designPoint, number bool) {
	v := o.place.Model().Variables[variable]
	if !v.IsCategory() {
		lo, hi := o.ends(v.Numbers)
		for _, x := range []float64{lo, hi} {
			if row, ok := o.row(linear.Point{Numbers: map[int]float64{variable: x}}); ok {
				name := v.Name + " " + shortNumber(x)
				out = append(out, designPoint{name, name, row, -1, x})
			}
		}
		return out, true
	}
	for _, l := range o.place.Matrix.Present[variable] {
		if row, ok := o.row(linear.Point{Levels: map[int]int{variable: l}}); ok {
			said := v.Name + " " + v.Levels[l]
			if v.Unit != "" {
				said += " " + v.Unit
			}
			out = append(out, designPoint{name: v.Levels[l], said: said, row: row, level: l})
		}
	}
	return out, false
}

// ends are the two values that a number is told between.
func (o *modeOdds) ends(numbers []float64) (low, high float64) {
	if o.tenths {
		low, high, _ = fitted.Tenths(numbers)
		return low, high
	}
	return session.MinMax(numbers)
}

// counted is how many specimens of a level ended in a mode, of those that ended in it or in the
// one it is compared with.
func (o *modeOdds) counted(mode, variable, level int) say.Counted {
	var c say.Counted
	for i, code := range o.place.Model().Variables[variable].Codes {
		if code != level {
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

// points is how far a contrast moves the chance, and its interval, in percentage points.
func (c contrast) points() (size float64, r verdict.Range) {
	s := c.said
	at := func(ratio float64) float64 { return 100 * (carried(s.Chances[0], math.Log(ratio)) - s.Chances[0]) }
	return at(s.Ratio), verdict.Range{Low: at(s.Range.Low), High: at(s.Range.High)}
}

// contrast compares point b with a; false where the terms do not distinguish them.
func (o *modeOdds) contrast(k *session.Call, m int, a, b designPoint, of int, worth session.Smallest,
	conf float64) (contrast, bool, error) {
	w, nothing := make([]float64, len(a.row)), true
	for i := range w {
		w[i] = b.row[i] - a.row[i]
		nothing = nothing && w[i] == 0
	}
	if nothing {
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
	if math.Abs(carried(first, e.Value)-first) < worth.Value {
		ninety, err = o.Range(k.Context, m, w, 1-0.10/float64(of))
		if err = o.Of(name, err); err != nil {
			return contrast{}, false, err
		}
	}
	moved := func(r verdict.Range) verdict.Range {
		return verdict.Range{Low: carried(first, r.Low) - first, High: carried(first, r.High) - first}
	}
	s := say.Odds{Mode: o.column.Column + " is " + o.names[m], Among: "of joints", First: page.Say(a.said),
		Second:  page.Say(b.said),
		Chances: [2]float64{first, second}, Ratio: math.Exp(e.Value), Confidence: conf, Worth: worth.Said,
		Range:       verdict.Range{Low: math.Exp(e.Range.Low), High: math.Exp(e.Range.High)},
		Probability: math.Min(1, e.P*float64(of)), Answer: verdict.Decide(moved(e.Range), moved(ninety), worth.Value)}
	if len(o.names) > 2 {
		s.Among = "of the joints that broke in " + o.names[m] + " or " + o.names[0]
	}
	if of > 1 {
		s.Family = "adjusted for comparing all pairs"
	}
	if s.Answer == verdict.CannotTell && worth.Value > 0 {
		s.Enough = enoughBy(k, e.Range, logOddsOf(worth.Value, first), conf, of, o.N)
	}
	return contrast{mode: m, first: a.name, second: b.name, said: s,
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

// carried is the chance p with ln of its odds moved.
func carried(p, by float64) float64 { return 1 / (1 + (1-p)/p*math.Exp(-by)) }

// contrastRow is the chance and odds of a mode at a level, or an end, against another.
type contrastRow struct {
	Mode         string  `id:"mode"`
	First        string  `id:"first"`
	Second       string  `id:"second"`
	ChanceFirst  float64 `id:"chance_first" style:"fraction"`
	ChanceSecond float64 `id:"chance_second" style:"fraction"`
	Ratio        float64 `id:"odds_ratio" style:"ratio"`
	Low          float64 `id:"low" style:"ratio"`
	High         float64 `id:"high" style:"ratio"`
	P            float64 `id:"p" style:"p"`
	Answer       string  `id:"answer"`
}

// contrastTable has one row a contrast.
func (o *modeOdds) contrastTable(all []contrast, conf float64) page.Table {
	var rows []contrastRow
	for _, c := range all {
		s := c.said
		rows = append(rows, contrastRow{o.names[c.mode], c.first, c.second, s.Chances[0], s.Chances[1],
			s.Ratio, s.Range.Low, s.Range.High, s.Probability, s.Answer.Key()})
	}
	t := page.Table{ID: "contrasts", Title: page.Say("Chances and odds against each other"),
		Note: page.Say("odds ratio: second over first; low and high: ", page.Num{Value: conf, Style: page.Fraction},
			" profile interval, adjusted for comparing all pairs, by Bonferroni's inequality; chances: number columns "+
				"at their mean, other categories averaged level by level on the log odds")}
	return page.Filled(t, rows, nil)
}
