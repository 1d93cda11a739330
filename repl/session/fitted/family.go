package fitted

import (
	"context"
	"math"
	"slices"

	"breakbook/models/compare"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// unevenly is a plain fit with standard errors that do not assume equal spread; one that
// has them already is itself.
func (f *Fit) unevenly(ctx context.Context) (*Fit, error) {
	if f.Method.Uneven {
		return f, nil
	}
	if err := f.Plain("uneven spread"); err != nil {
		return nil, err
	}
	u, err := f.Fit.Uneven(ctx)
	if err != nil {
		return nil, err
	}
	out := *f
	out.Fit, out.Estimator, out.Method.Uneven = u.Fit, u, true
	return &out, nil
}

// Plain refuses a way of comparing for a fit that has a way of its own.
func (f *Fit) Plain(method string) error {
	own := ""
	switch {
	case f.Method.Blocks != nil:
		own = "blocked"
	case f.Method.Resistant:
		own = "resistant"
	case f.Method.Uneven:
		own = "one with uneven spread"
	default:
		return nil
	}
	return page.Refuse(page.CodeTwoWays, 0, "this fit is "+own+": its levels cannot be compared "+method+" as well",
		"compare without "+method+", or fit in the plain way first")
}

// Family is the levels of one factor compared, and the words for it.
type Family struct {
	Response              *session.Response
	Measure, Unit, Factor string
	Names                 []string  // of the levels
	n                     []float64 // specimens, or blocks, per level
	Block                 string    // the column whose blocks are counted in place of specimens, or ""
	LevelUnit             string    // of levels that are numbers: thickness 44 mm
	Logged                bool      // the response is ln of the measure: differences are ratios
	Result                *compare.Result
	Conf                  float64
	Worth                 say.Worth
	Probability           float64 // the overall one, told with the lead; NaN: the difference's own
	OwnDF                 bool    // each difference, and the overall test, has degrees of freedom of its own
	Figure                bool    // the first of names is a figure that the others are compared with
	Against               bool    // each level is compared with one
	Partners              Partners
	setting               []int  // of each level, which of the partners' settings it is within; nil: there are none
	Within                string // what specimens are reshuffled within: " within each value of board"
	// Compare compares by other means than the levels' Means: all pairs where ref is -1.
	Compare func(ref int, o compare.Options) (*compare.Result, error)
}

// AllPairs sets every level against every other, within each setting.
func (f *Family) AllPairs(k *session.Call, m compare.Means, conf float64) error {
	return f.Run(k, m, -1, conf)
}

// Run compares all pairs, or, with ref of zero or more, each level with that one.
func (f *Family) Run(k *session.Call, m compare.Means, ref int, conf float64) (err error) {
	f.Conf = conf
	f.n = m.N
	if m.Blocks != nil {
		f.n = m.Blocks
	}
	w, err := k.WorthOf(f.Response)
	if err != nil {
		return err
	}
	f.Worth = w.Said
	o := compare.Options{Confidence: conf, Worth: w.Value, Unplanned: k.Unplanned}
	f.Against = ref >= 0
	sets := f.sets()
	most := 0
	for _, set := range sets {
		most = max(most, len(set))
	}
	if err := k.FewLevels(most, f.Factor, f.Against); err != nil {
		return err
	}
	if f.Compare != nil {
		f.Result, err = f.Compare(ref, o)
		return err
	}
	if f.Against {
		sets = slices.DeleteFunc(sets, func(set []int) bool { return f.namedIn(set, ref) < 0 })
	}
	f.Result, o.Families = nil, len(sets)
	for _, set := range sets {
		var r *compare.Result
		if f.Against {
			r, err = compare.Against(k.Context, m.Of(set), f.namedIn(set, ref), o)
		} else {
			r, err = compare.AllPairs(k.Context, m.Of(set), o)
		}
		if err != nil {
			return err
		}
		f.take(r, set)
	}
	return nil
}

// sets are the levels that are compared with one another: all, or those of each setting.
func (f *Family) sets() [][]int {
	var out [][]int
	for i := range f.Names {
		if i == 0 || f.withinSettings() && f.setting[i] != f.setting[i-1] {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], i)
	}
	return out
}

// namedIn is where in a set the level stands that is called as one of an index; -1 where it has none.
func (f *Family) namedIn(set []int, ref int) int {
	return slices.IndexFunc(set, func(i int) bool { return f.Names[i] == f.Names[ref] })
}

// Rows are the differences within every setting, for a comparison of all of them at once; nil where
// the levels are compared once.
func (f *Family) Rows(ref int) [][2]int {
	if !f.withinSettings() {
		return nil
	}
	var rows [][2]int
	for _, set := range f.sets() {
		for a, i := range set {
			for _, j := range set[a+1:] {
				switch {
				case ref < 0 || f.Names[i] == f.Names[ref]:
					rows = append(rows, [2]int{i, j})
				case f.Names[j] == f.Names[ref]:
					rows = append(rows, [2]int{j, i})
				}
			}
		}
	}
	return rows
}

// take adds the differences of one set to the family's.
func (f *Family) take(r *compare.Result, set []int) {
	for i, d := range r.Differences {
		r.Differences[i].First, r.Differences[i].Second = set[d.First], set[d.Second]
	}
	if f.Result == nil {
		f.Result = r
		return
	}
	f.Result.Differences = append(f.Result.Differences, r.Differences...)
	f.Result.Error = max(f.Result.Error, r.Error)
	if f.Result.Critical != r.Critical {
		f.Result.Critical = math.NaN()
	}
}

// withinSettings reports whether the levels are compared within settings.
func (f *Family) withinSettings() bool { return len(f.Partners.Settings) > 0 }

// WithinOf is the key of the setting of a difference, "" for none.
func (f *Family) WithinOf(d compare.Difference) string { return f.WithinAt(d.First) }

// WithinAt is the key of the setting of one of the family's levels, "" for none.
func (f *Family) WithinAt(i int) string {
	if !f.withinSettings() {
		return ""
	}
	return f.Partners.Settings[f.setting[i]].Key
}

// Where is what a finding begins with: the setting, and what is averaged over; nil where there is
// neither.
func (p Partners) Where(setting int) page.Sentence {
	var s page.Sentence
	if len(p.Settings) > 0 {
		s = p.Settings[setting].Words
	}
	if len(p.Over) > 0 {
		if s != nil {
			s = page.Say(s, " and ")
		}
		s = page.Say(s, "averaged over "+session.And(p.Over))
	}
	return s
}

// Largest is the difference that is clearest: the one furthest from zero for its error.
func (f *Family) Largest() compare.Difference {
	best := f.Result.Differences[0]
	for _, d := range f.Result.Differences[1:] {
		if d.Clear > best.Clear {
			best = d
		}
	}
	return best
}

// Leads are the family's main findings: of each setting its clearest difference with its answer.
func (f *Family) Leads() []page.Sentence {
	return lists.Mapped(f.LeadGaps(), say.Gap.Sentence)
}

// LeadGaps are the differences that lead: of each setting the clearest with its answer; where that is
// no difference worth having, but another pair cannot be told, nor can the family.
func (f *Family) LeadGaps() []say.Gap {
	var out []say.Gap
	for _, all := range f.bySetting() {
		d := all[0]
		answer := d.Answer
		enough := f.enough(d)
		answers := lists.Mapped(all, func(d compare.Difference) verdict.Answer { return d.Answer })
		if say.Overall(answers) == verdict.CannotTell {
			answer = verdict.CannotTell
			enough = f.enoughForAll(all)
		}
		g := f.gap(d, answer, enough)
		if !math.IsNaN(f.Probability) && !f.withinSettings() {
			g.Probability = f.Probability
		}
		out = append(out, g)
	}
	return out
}

// bySetting are the differences of each setting, the clearest first; the setting with the clearest
// of all is the first.
func (f *Family) bySetting() [][]compare.Difference {
	var out [][]compare.Difference
	for _, d := range f.Result.Differences {
		if last := len(out) - 1; last >= 0 &&
			(!f.withinSettings() || f.setting[d.First] == f.setting[out[last][0].First]) {
			out[last] = append(out[last], d)
		} else {
			out = append(out, []compare.Difference{d})
		}
	}
	first := 0
	for i, all := range out {
		at := 0
		for j, d := range all {
			if d.Clear > all[at].Clear {
				at = j
			}
		}
		out[i] = slices.Concat(all[at:at+1], all[:at], all[at+1:])
		if out[i][0].Clear > out[first][0].Clear {
			first = i
		}
	}
	return slices.Concat(out[first:first+1], out[:first], out[first+1:])
}

// Answers are the family's differences as answers to be compared with themselves in a
// rerun, the clearest first.
func (f *Family) Answers() []session.Answer {
	var out []session.Answer
	for _, d := range slices.Concat(f.bySetting()...) {
		m := session.Answer{Key: f.key(d), Finding: f.Gap(d).Sentence(),
			Gap: say.Gap{Value: d.Diff, Range: verdict.Range{Low: d.Low, High: d.High}, Probability: d.P,
				Answer: d.Answer, Worth: f.Worth, Enough: f.enough(d)}}
		if f.Result.Method == compare.ByReshuffling { // no interval to show, but one to measure a move by
			m.Gap.Range = verdict.Range{Low: d.Diff - d.Critical*d.SE, High: d.Diff + d.Critical*d.SE}
		}
		out = append(out, m)
	}
	return out
}

func (f *Family) key(d compare.Difference) string {
	key := f.Factor + ": " + f.Names[d.First] + ", " + f.Names[d.Second]
	if within := f.WithinOf(d); within != "" {
		key += "; " + within
	}
	return key
}

// enough is how many specimens, or blocks, per level would settle a difference, and how many the smaller of
// its two levels has.
func (f *Family) enough(d compare.Difference) say.Enough {
	e := say.Enough{N: d.Enough, InAll: f.Figure && f.Factor == "", Block: f.Block}
	if d.First < len(f.n) && d.Second < len(f.n) {
		e.Have = int(min(f.n[d.First], f.n[d.Second]))
	}
	return e
}

// enoughForAll is how many would settle every difference that cannot be told: what the hardest
// of them takes to be settled with the others, which is out of reach where that of one is.
func (f *Family) enoughForAll(all []compare.Difference) say.Enough {
	var hardest say.Enough
	for _, d := range all {
		e := f.enough(d)
		e.N, e.Of = d.Together, len(all)
		switch {
		case d.Answer != verdict.CannotTell:
		case e.N == 0:
			return e
		case e.N > hardest.N:
			hardest = e
		}
	}
	return hardest
}

// Gap puts one difference and its answer into words, the larger level first.
func (f *Family) Gap(d compare.Difference) say.Gap { return f.gap(d, d.Answer, f.enough(d)) }

// gap is Gap with the answer, and what would settle it, of more than this difference.
func (f *Family) gap(d compare.Difference, answer verdict.Answer, enough say.Enough) say.Gap {
	g := say.Gap{Of: f.key(d), Measure: f.Measure, With: f.level(d.Second, true), Than: f.level(d.First, false),
		Value: d.Diff, Range: verdict.Range{Low: d.Low, High: d.High}, Unit: f.Unit, Confidence: f.Conf,
		Probability: d.P, Answer: answer, Worth: f.Worth, Enough: enough, Route: f.route(d)}
	if f.Figure {
		g.Figure = true
		if f.Factor == "" {
			g.With = nil
		}
	} else if d.Diff < 0 {
		g.With, g.Than = f.level(d.First, true), f.level(d.Second, false)
		g.Value = -d.Diff
		g.Range = verdict.Range{Low: -d.High, High: -d.Low}
	}
	if len(f.Result.Differences) > 1 {
		g.Family = "adjusted for comparing all pairs"
		if f.Against {
			g.Family = "adjusted for comparing all levels"
		}
		if f.withinSettings() {
			g.Family += " " + f.Partners.Said()
		}
	}
	setting := 0
	if f.withinSettings() {
		setting = f.setting[d.First]
		if w := f.Partners.Settings[setting]; len(w.Point.Numbers) == 0 {
			g.Enough.Where = w.Words
		}
	}
	g.Where = f.Partners.Where(setting)
	if f.Logged {
		session.AsRatio(&g)
	}
	return g
}

// route says how a difference without an interval was judged.
func (f *Family) route(d compare.Difference) string {
	switch f.Result.Method {
	case compare.ByReshuffling:
		return "by reshuffling"
	case compare.ByRanks:
		if math.IsInf(d.Low, 0) && math.IsInf(d.High, 0) {
			return "by ranks; too few specimens for an interval"
		}
	}
	return ""
}

func (f *Family) level(i int, withFactor bool) page.Sentence {
	name := f.Names[i]
	if f.Figure && i == 0 {
		return page.Say(name)
	}
	if f.LevelUnit != "" {
		name += " " + f.LevelUnit
	}
	if withFactor && f.Factor != "" {
		name = f.Factor + " " + name
	}
	return page.Say(name)
}
