package judging

import (
	"math"
	"slices"

	"breakbook/models/lists"
	"breakbook/models/stages"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// The answers of a series held to its plan, beside those of any difference.
const (
	goOn    = "go on"
	mayStop = "may stop"
	ended   = "the plan has ended"
)

// lookRow is a look at a series made by a plan.
type lookRow struct {
	Stage    float64 `id:"stage" style:"count"`
	Share    float64 `id:"share" style:"fraction"`
	PDiffers float64 `id:"p_differs" style:"p" label:"differs below p"`
	PStop    float64 `id:"p_stop" style:"p" label:"may stop above p"`
	P        float64 `id:"p" style:"p"`
}

// pairRow is a difference with the interval that holds at every look.
type pairRow struct {
	First      string  `id:"first"`
	Second     string  `id:"second"`
	Difference float64 `id:"difference" unit:"{y}" difference:"yes"`
	Low        float64 `id:"low" unit:"{y}" difference:"yes"`
	High       float64 `id:"high" unit:"{y}" difference:"yes"`
	Answer     string  `id:"answer"`
}

// alarmRow is what looking again and again at the whole error comes to.
type alarmRow struct {
	Looks  int     `id:"looks"`
	Alarms float64 `id:"false_alarms" style:"fraction"`
}

// lookFigures are the figures of a look.
type lookFigures struct {
	Answer    string  `id:"answer"`
	Stage     float64 `id:"stage" style:"count"`
	Share     float64 `id:"share" style:"fraction"`
	P         float64 `id:"p" style:"p"`
	PDiffers  float64 `id:"p_differs" style:"p"`
	PStop     float64 `id:"p_stop" style:"p"`
	Spent     float64 `id:"error_spent" style:"fraction"`
	Remaining int     `id:"n_left"`
	*lookCost
}

// lookCost is what a look costs that was not planned.
type lookCost struct {
	Chance  float64 `id:"chance" style:"fraction"`
	Without float64 `id:"chance_without" style:"fraction"`
	Alarms  float64 `id:"false_alarms_at_whole" style:"fraction"`
}

// answer is what the look says.
func (j *judging) answer() string {
	one := say.Overall(lists.Mapped(j.pairs, func(p comparedPair) verdict.Answer { return p.answer }))
	switch {
	case !(j.look.PDiffers > 0):
		return ended
	case j.p < j.look.PDiffers && one == verdict.DiffersLessThanWorth:
		return one.Key()
	case j.p < j.look.PDiffers:
		return verdict.Differs.Key()
	case one == verdict.NoDifferenceWorth || j.look.Last:
		return one.Key()
	case j.p > j.look.PStop:
		return mayStop
	}
	return goOn
}

// tell fills in the entry.
func (j *judging) tell(k *session.Call) {
	answer := j.answer()
	remaining, each := j.remaining()
	e := k.Entry
	e.Findings = append(j.lead(answer), j.where())
	if s := j.next(answer, remaining, each); s != nil {
		e.Find(s)
	}
	figures := lookFigures{Answer: answer, Stage: number(j.look.Stage), Share: j.look.Share, P: j.p,
		PDiffers: j.look.PDiffers, PStop: j.look.PStop, Spent: j.look.Spent, Remaining: remaining}
	e.Tables = append(e.Tables, j.looksTable(k), j.pairsTable())
	if cost := j.cost(); cost != nil {
		e.Find(cost)
		figures.lookCost = &lookCost{j.look.Chance, j.look.ChanceWithout, j.look.AlarmsAtWhole}
		e.Tables = append(e.Tables, alarmsTable(len(j.n)-1, 1-j.model.Confidence))
	}
	e.Values = page.ValuesOf(figures, nil)
	e.Warn(page.If(j.fit.Sample.Series == j.from, j.plan+" was worked out from these very specimens, and is for "+
		"those of the next series: open its sheet once it is filled in, and judge that."),
		page.If(j.look.PDiffers > 0 && j.p < j.look.PDiffers && !j.look.Last,
			"A series that ends early because of a large difference shows it somewhat larger than it is, on average; "+
				"the interval allows for the looks, the size itself does not."))
	if k.Back == nil {
		e.Warn(j.fit.DependentCautions()...)
	}
}

// number is a whole number, or none for 0.
func number(n int) float64 {
	if n == 0 {
		return math.NaN()
	}
	return float64(n)
}

// lead tells the largest difference with its answer; of several levels the test of all first.
func (j *judging) lead(answer string) []page.Sentence {
	largest := j.gap(j.largest())
	if len(j.pairs) == 1 {
		return []page.Sentence{largest.Answered(answer)}
	}
	return []page.Sentence{
		page.Say("All ", len(j.n), " levels of "+j.of.A.Column+" together, by the F test, ", page.Chance(j.p), ": ",
			page.Verdict{Words: answer}, "."),
		largest.Answered(largest.Answer.Key())}
}

// where tells which look it is, and its marks.
func (j *judging) where() page.Sentence {
	share := page.Share(j.look.Share)
	var s page.Sentence
	switch k := j.model.Number; {
	case !(j.look.PDiffers > 0):
		s = page.Say("The ", page.Share(1-j.model.Confidence), " of false alarms that "+j.plan+
			" allows were used up when all of it was there. Looked at once more, with p below ",
			page.Num{Value: 1 - j.model.Confidence, Style: page.P}, ", they come to ", page.Share(j.look.AlarmsAtWhole))
		return append(s, page.Word("; what is new since asks for a plan of its own."))
	case j.look.Stage > 0 && k > 1:
		s = page.Say("That is stage ", j.look.Stage, " of ", k, " of "+j.plan)
		if planned := float64(j.look.Stage) / float64(k); math.Abs(planned-j.look.Share) > 0.005 {
			s = page.Say(s, ", with ", share, " of all specimens in place of ", page.Share(planned))
		}
	case j.look.Stage > 0:
		s = page.Say("That is the whole of " + j.plan)
	default:
		s = page.Say("That is ", share, " of "+j.plan+", where no look was planned")
	}
	return page.Say(s, ": the levels differ with p below ", mark(j.look.PDiffers),
		page.If(j.look.PStop < nearlyOne, ", and the series may stop with p above ", mark(j.look.PStop)), ".")
}

// nearlyOne is the mark from which on hardly any p could lie above it, so that it is not said.
const nearlyOne = 0.9995

// mark is a p that another is held against, with digits where a p of its own would only be said to be beyond them.
func mark(p float64) page.Num {
	if p < 0.0001 || p >= 0.995 {
		return page.Num{Value: p, Style: page.Ratio}
	}
	return page.Num{Value: p, Style: page.P}
}

// remaining is how many specimens it takes to the next stage, and how many of each level; none after the last.
func (j *judging) remaining() (all int, each []int) {
	if j.look.Last {
		return 0, nil
	}
	next := j.kept.PerLevel
	for i := range j.model.Number {
		if n := j.kept.PerLevel / j.model.Number * (i + 1); float64(n) > j.look.Share*float64(j.kept.PerLevel) &&
			i+1 != j.look.Stage {
			next = n
			break
		}
	}
	for _, n := range j.n {
		more := max(0, next-n)
		all, each = all+more, append(each, more)
	}
	return all, each
}

// next tells what is left to make; nil after the last stage.
func (j *judging) next(answer string, remaining int, each []int) page.Sentence {
	if remaining == 0 {
		return nil
	}
	s := page.Say("To the next look: ")
	if j.model.Number == 1 {
		s = page.Say("To the end: ")
	}
	switch answer {
	case mayStop:
		s = page.Say("If you go on: ")
	case goOn:
	default:
		return nil
	}
	if slices.Min(each) == slices.Max(each) {
		return page.Say(s, each[0], " more of each of the levels of "+j.of.A.Column+", ", remaining, " in all.")
	}
	for i, n := range each {
		s = page.Say(s, page.If(i > 0, ", "), n, " more of "+j.kept.Levels[0][i])
	}
	return page.Say(s, ", ", remaining, " in all.")
}

// cost tells what a look costs that was not planned; nil of one that was.
func (j *judging) cost() page.Sentence {
	if math.IsNaN(j.look.Chance) {
		return nil
	}
	whole := page.Share(1 - j.model.Confidence)
	last := "the last stage"
	if j.model.Number == 1 {
		last = "the end"
	}
	chance, p := page.Share(j.look.Chance), page.Num{Value: j.look.LastP, Style: page.P}
	costs, moved, later := "next to nothing", page.Say(" stays ", chance), page.Say(" still differs with p below ", p)
	if without := j.look.ChanceWithout; without-j.look.Chance >= 0.005 {
		costs, moved = "a little", page.Say(" is ", chance, " in place of ", page.Share(without))
	}
	if without := j.look.LastPWithout; without-j.look.LastP >= 0.001 {
		costs, later = "a little", page.Say(" differs with p below ", p, " in place of ",
			page.Num{Value: without, Style: page.P})
	}
	s := page.Say("Judged so, the look costs "+costs+": the chance to show what was planned", moved,
		", and "+last, later)
	return page.Say(s, ". Judged with p below ", page.Num{Value: 1 - j.model.Confidence, Style: page.P},
		" at every look, not ", whole, " but ", page.Share(j.look.AlarmsAtWhole),
		" of series without a difference would seem to have one.")
}

// looksTable has all looks with their marks, and the p found at those that were made.
func (j *judging) looksTable(k *session.Call) page.Table {
	found := map[float64]float64{j.look.Share: j.p}
	for _, earlier := range j.earlier(k) {
		if _, is := found[earlier.Share]; !is {
			found[earlier.Share] = earlier.P
		}
	}
	var rows []lookRow
	for _, m := range j.look.Course {
		p, ok := found[m.Share]
		if !ok {
			p = math.NaN()
		}
		rows = append(rows, lookRow{number(m.Stage), m.Share, m.PDiffers, m.PStop, p})
	}
	return page.Filled(page.Table{ID: "looks", Title: page.Say("The looks at " + j.plan),
		Note: page.Say("share: of the planned specimens; differs below p: the series may end there, and the levels " +
			"differ; may stop above p: it may end there without; p: as found; a stage without one counts as " +
			"looked at")}, rows, nil)
}

// pairsTable has the differences with their intervals.
func (j *judging) pairsTable() page.Table {
	fam := j.levels.Family
	var rows []pairRow
	for _, p := range j.pairs {
		rows = append(rows, pairRow{fam.Names[p.first], fam.Names[p.second], p.estimate, p.repeated.Low,
			p.repeated.High, p.answer.Key()})
	}
	t := page.Table{ID: "differences", Title: page.Say(j.fit.Y.Name() + " by " + fam.Factor)}
	if w := j.widened(); w != "" {
		t.Note = page.Say("low and high: the interval, " + w)
	}
	return page.Filled(t, rows, page.Names{"y": fam.Unit})
}

// mostLooks is how many looks the table of false alarms goes to.
const mostLooks = 5

// alarmsTable has the false alarms of looking again and again at the whole error, at one difference or at the several
// dimensions of more levels.
func alarmsTable(dimensions int, alpha float64) page.Table {
	var rows []alarmRow
	for looks := 1; looks <= mostLooks; looks++ {
		var at, p []float64
		for i := range looks {
			at, p = append(at, float64(i+1)/float64(looks)), append(p, alpha)
		}
		rows = append(rows, alarmRow{looks, stages.FalseAlarms(dimensions, at, p)[looks-1]})
	}
	return page.Filled(page.Table{ID: "alarms", Second: true,
		Title: page.Say("Looking again and again at ", page.Share(alpha)),
		Note: page.Say("looks: after equal numbers of joints; false alarms: series without a difference in which one ",
			"of the looks shows one")}, rows, nil)
}
