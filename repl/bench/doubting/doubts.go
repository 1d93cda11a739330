// Package doubting questions the answers of an analysis by the program's own checks. In come the call and what its
// handler gave; checks that are clear lead to the remedy, which is carried out quietly on the same session and compared
// answer by answer; out come doubts in the entry, told after the answers they concern.
package doubting

import (
	"errors"
	"math"
	"slices"
	"strings"

	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/mixed"
	"breakbook/models/verdict"
	"breakbook/repl/groups"
	"breakbook/repl/modes"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// Bench carries out a command quietly, and keeps what came of it, for a remedy.
type Bench struct {
	Carry func(k *session.Call) (*session.Outcome, error)
	Apply func(k *session.Call, o *session.Outcome) (*session.Session, error)
}

// inquiry questions the answers of one analysis by the program's own checks.
type inquiry struct {
	by      Bench
	k       *session.Call
	fit     *fitted.Fit                  // that the answers rest on; nil: none could be made
	mode    *modes.Likelihood            // of an analysis of a mode; nil for others
	more    map[string]*modes.Likelihood // that, with a column outside it
	typed   *phrase.Fit                  // the command that makes it
	factors []string                     // the columns whose differences are answered
	drawnIn bool                         // the series are a term because past ones were drawn in
	found   []page.Doubt
	allowed page.Sentence // that boards were allowed for and nothing changed; nil: not so
	known   bool          // boards are allowed for, or told as a doubt

	recounted map[string]say.Gap // with boards allowed for, by key, what another number settles
	about     string             // these boards

	plainAnswers func() []session.Answer // by unremedied, once asked for
}

// mostQuestioned is the number of specimens up to which answers are questioned unasked: further on
// the reruns would take longer than the answer.
const mostQuestioned = 200_000

// mostDoubtsShown is how many are told after the findings; all stand in the entry.
const mostDoubtsShown = 3

var errNoLine = errors.New("no line asks this once more")

// Question holds the checks against the answers of a fit, its table of variation, a comparison,
// levels adjusted, averages, a prediction or a plan, tells the worst after the answers they concern, and
// marks these answers as doubted. The order of the checks is that of the doubts, the worst first.
//
// It reports whether boards are allowed for, or told in a doubt; and whether that they change nothing
// was told, which is said once a series.
func Question(k *session.Call, o *session.Outcome, by Bench) (blocksKnown, allowed bool) {
	if k.Back != nil || len(k.Analysis.Answers) == 0 && !asksAll(k) {
		return false, false
	}
	if k.Analysis.Sample.Frame.Len() > mostQuestioned {
		k.Entry.Find(page.Say("With over ", mostQuestioned,
			" specimens the answers are not questioned unasked; check looks at what they rest on."))
		return false, false
	}
	if len(o.Parts) > 0 {
		return questionParts(k, o, by), false
	}
	q, err := inquire(k, o, by)
	if err != nil {
		return false, false // what cannot be fitted has no checks; the analysis stands as it is
	}
	first := []func(*inquiry) error{(*inquiry).oneBlock, (*inquiry).confounded, (*inquiry).ceiling, (*inquiry).repeated,
		(*inquiry).single, (*inquiry).fewResidualDF}
	switch {
	case len(k.Analysis.Answers) == 0:
		q.ask((*inquiry).confounded)
	case q.mode != nil:
		q.ask(first...)
		q.ask((*inquiry).oddSpecimen, (*inquiry).modeCombination, (*inquiry).modeLeftOut, (*inquiry).modeBlocks,
			(*inquiry).distribution)
	case k.Entry.Kind == "plan":
		q.ask((*inquiry).ceiling, (*inquiry).oddSpecimen, (*inquiry).planBlocks, (*inquiry).planSpreads)
		k.Entry.Tables[0].Second = k.Entry.Tables[0].Second || len(q.found) > 0
	case k.Entry.Kind == "drove": // tried terms together and bends, and allowed for how many it asks about
		q.ask(first...)
		q.askTogether((*inquiry).oddSpecimen, (*inquiry).leftOut, (*inquiry).blocks, (*inquiry).unevenSpread)
	default:
		q.ask(first...)
		q.askTogether((*inquiry).oddSpecimen, (*inquiry).combination, (*inquiry).leftOut, (*inquiry).bend,
			(*inquiry).blocks, (*inquiry).unevenSpread, (*inquiry).manyAsked)
	}
	k.Entry.Doubts = append(q.found, k.Entry.Doubts...)
	q.tellRecounted()
	tellDoubts(k)
	if allowed = q.allowed != nil && !k.Session.Knows(k.Entry.Series, session.BlocksAllowed); allowed {
		k.Entry.Find(q.allowed)
	}
	if len(k.Entry.Doubts) == 0 && k.Entry.Kind == "fit" && len(k.Analysis.Answers) > 0 {
		k.Entry.Find(page.Say("The checks hold nothing against these answers."))
	}
	return q.known || q.holds("one-block"), allowed
}

// asksAll reports whether a command asks about every factor of its fit, those too that it has no answer about.
func asksAll(k *session.Call) bool { return k.Entry.Kind == "fit" || k.Entry.Kind == "anova" }

// aim is what a rerun is for.
type aim bool

const (
	toCompare aim = false // nobody asks how many specimens would settle what cannot be told, which takes the longest
	toTell    aim = true
)

// quietly is a call that carries out one command without a word or a trace.
func (q *inquiry) quietly(s *session.Session, do any) *session.Call {
	return q.k.Quiet(s, phrase.CommandOf(do), []bool{})
}

// fitted is another fit of the same series.
func (q *inquiry) fitted(f *phrase.Fit) (*fitted.Fit, error) {
	return fitted.OfCommand(q.quietly(q.k.Session, f))
}

// freeName is a name that nothing has yet.
func (q *inquiry) freeName(name string) string {
	for q.k.Session.NameTaken(name) {
		name += "_2"
	}
	return name
}

// freeColumn is a name that no column of the series has yet.
func (q *inquiry) freeColumn(name string) string {
	for {
		if _, taken := q.k.Analysis.Sample.Whole.Column(name); !taken {
			return name
		}
		name += "_2"
	}
}

// carry carries out commands one after the other, quietly; the outcome is the last one's.
func (q *inquiry) carry(list []any, to aim) (o *session.Outcome, s *session.Session, err error) {
	s = q.k.Session
	for _, do := range list {
		k := q.quietly(s, do)
		k.Unplanned = to == toCompare
		if o, err = q.by.Carry(k); err != nil {
			return nil, nil, err
		}
		if s, err = q.by.Apply(k, o); err != nil {
			return nil, nil, err
		}
	}
	return o, s, nil
}

// run is the answers of commands that are carried out so.
func (q *inquiry) run(list []any, to aim) ([]session.Answer, error) {
	o, _, err := q.carry(list, to)
	if err != nil {
		return nil, err
	}
	all, err := q.answers(o)
	if err != nil {
		return nil, err
	}
	return q.inTheirWords(all), nil
}

// answers are those of an analysis that was carried out quietly.
func (q *inquiry) answers(o *session.Outcome) ([]session.Answer, error) {
	if o == nil || o.Analysis == nil {
		return nil, errors.New("no analysis")
	}
	if cmd, ok := q.k.Command.Do.(*phrase.Plan); ok && o.Keeps != nil && o.Keeps.Plan != nil {
		return []session.Answer{answerOf(cmd, o)}, nil
	}
	return o.Analysis.Answers, nil
}

// changed is the answers that a remedy changes, as moved has it, and the clearest of them.
func (q *inquiry) changed(remedy []any, byMove func(was, now say.Gap) bool,
	of func(key string) bool) (keys []string, then session.Answer, err error) {
	now, err := q.run(remedy, toCompare)
	if err != nil {
		return nil, then, err
	}
	if keys, _ = q.moved(now, byMove, of); len(keys) == 0 {
		return nil, then, nil
	}
	if now, err = q.run(remedy, toTell); err == nil {
		keys, then = q.moved(now, byMove, of)
	}
	return keys, then, err
}

// maskOf marks some rows of the series.
func (q *inquiry) maskOf(rows []int) []bool {
	mask := make([]bool, q.k.Analysis.Sample.Whole.Len())
	for _, row := range rows {
		mask[row] = true
	}
	return mask
}

// withoutRows is the session with some rows of the series set aside.
func (q *inquiry) withoutRows(rows []int) *session.Session {
	s := q.k.Analysis.Sample
	return q.k.Session.WithFrame(s.Series, s.Whole.SetAside(q.maskOf(rows), "in doubt"))
}

// without is the analysis once more with some rows of its series set aside.
func (q *inquiry) without(rows []int) ([]session.Answer, error) {
	o, err := q.by.Carry(q.k.Quiet(q.withoutRows(rows), q.k.Command, q.maskOf(rows)))
	if err != nil {
		return nil, err
	}
	return q.answers(o)
}

// line is the commands as a person types them.
func line(list []any) string {
	return strings.Join(lists.Mapped(list, phrase.Line), "; ")
}

// moved is the answers that a remedy changes: another answer, or the estimate moved by more than
// half its interval, or where the interval is the answer an end of that. byMove, where it is not nil, says
// whether the estimate's move is what changes the answer, since a narrower interval alone is no doubt.
func (q *inquiry) moved(now []session.Answer, byMove func(was, now say.Gap) bool,
	of func(key string) bool) (keys []string, then session.Answer) {
	best, plain := math.Inf(-1), q.plainAnswers()
	for _, was := range q.k.Analysis.Answers {
		if of != nil && !of(was.Key) || was.Key == groups.LowestLimit {
			continue
		}
		i := slices.IndexFunc(now, func(a session.Answer) bool { return a.Key == was.Key })
		if i < 0 {
			continue
		}
		shift := shifted(was.Gap, now[i].Gap)
		other := now[i].Differs(was) && (byMove == nil || byMove(was.Gap, now[i].Gap))
		if p := slices.IndexFunc(plain, func(a session.Answer) bool { return a.Key == was.Key }); p >= 0 {
			shift = math.Abs(now[i].Gap.Value-plain[p].Gap.Value) / ((was.Gap.Range.High - was.Gap.Range.Low) / 2)
			other = other && now[i].Gap.Answer != plain[p].Gap.Answer
		}
		if !(shift > 1) && !other {
			continue
		}
		keys = append(keys, was.Key)
		if other {
			shift += 1000 // another answer weighs more than any move
		}
		if shift > best {
			best, then = shift, now[i]
		}
	}
	return keys, then
}

// shifted is how far an answer moved, in halves of its interval: its estimate, and the ends of an interval that is
// the answer. A plan moves by its number of specimens, or by its chance.
func shifted(was, now say.Gap) float64 {
	if was.Alone && was.Enough.N > 0 {
		number := math.Abs(float64(now.Enough.N-was.Enough.N)) / float64(was.Enough.N)
		return 10 * max(number, math.Abs(now.Probability-was.Probability)) // in tenths, or times 10 percentage points
	}
	moved := math.Abs(now.Value - was.Value)
	if was.Alone {
		moved = max(moved, math.Abs(now.Range.Low-was.Range.Low), math.Abs(now.Range.High-was.Range.High))
	}
	return moved / ((was.Range.High - was.Range.Low) / 2)
}

// mostShift is how many halves of an interval its ends may move that is still said to stay: a tenth of the interval,
// the change by which byTenth tells another estimate.
const mostShift = 0.2

// stay reports whether no interval that is an answer is another one under a remedy.
func (q *inquiry) stay(now []session.Answer) bool {
	return !slices.ContainsFunc(q.k.Analysis.Answers, func(was session.Answer) bool {
		return was.Gap.Alone && !slices.ContainsFunc(now, func(a session.Answer) bool {
			return a.Key == was.Key && shifted(was.Gap, a.Gap) <= mostShift
		})
	})
}

// farEnough reports whether an answer changed since its estimate moved: with an interval as long as the
// new one about the old estimate it would have been told as before, or where the interval grew no
// longer it lay within the size worth having and no longer does.
func farEnough(was, now say.Gap) bool {
	half, long := (now.Range.High-now.Range.Low)/2, (was.Range.High-was.Range.Low)/2
	clear := func(low, high float64) bool { return low > 0 || high < 0 }
	if clear(was.Value-half, was.Value+half) != clear(now.Range.Low, now.Range.High) {
		return true
	}
	within := func(a verdict.Answer) bool {
		return a == verdict.NoDifferenceWorth || a == verdict.DiffersLessThanWorth
	}
	return within(was.Answer) && !within(now.Answer) && half <= long
}

// byTenth reports whether an estimate moved by more than a tenth of itself, the change by which Mickey and
// Greenland (1989, American Journal of Epidemiology 129) tell a property that has to be allowed for.
func byTenth(was, now say.Gap) bool { return math.Abs(now.Value-was.Value) > math.Abs(was.Value)/10 }

// addDoubt books one doubt.
func (q *inquiry) addDoubt(d page.Doubt) { q.found = append(q.found, d) }

// keysOf are the keys of the answers, those about a column where one is named; a prediction's is about
// every column that it is given several values of.
func (q *inquiry) keysOf(column string) []string {
	var out []string
	for _, a := range q.k.Analysis.Answers {
		if a.Key == groups.LowestLimit && len(q.k.Analysis.Answers) > 1 {
			continue // the differences between limits are questioned
		}
		if column == "" || concerns(a.Key, column) || q.k.Entry.Kind == "predict" &&
			slices.Contains(q.factors, column) {
			out = append(out, a.Key)
		}
	}
	return out
}

// concerns reports whether an answer is about a column: "pins: none, pair" of pins, "density" and
// "density²" of density.
func concerns(key, column string) bool {
	rest, ok := strings.CutPrefix(key, column)
	return ok && (rest == "" || !isLetter(rest[0]))
}

func isLetter(b byte) bool {
	return b == '_' || b >= '0' && b <= '9' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z'
}

// tellRecounted puts the number with boards allowed for in place of that without.
func (q *inquiry) tellRecounted() {
	for n, f := range q.k.Entry.Findings {
		for i, part := range f {
			v, _ := part.(page.Verdict)
			if g, ok := q.recounted[v.Of]; ok && v.Words == verdict.CannotTell.Key() {
				f = slices.Clone(f)
				v.More = say.Recounted(v.More, q.about, g)
				f[i], q.k.Entry.Findings[n] = v, f
			}
		}
	}
}

// tellDoubts puts the worst doubts after the finding they concern, and marks the answers.
func tellDoubts(k *session.Call) {
	about := map[string]string{} // of each difference, what its worst doubt is about
	for _, d := range k.Entry.Doubts {
		for _, key := range d.Of {
			if about[key] == "" {
				about[key] = d.About
			}
		}
	}
	var out []page.Sentence
	shown := 0
	done := make([]bool, len(k.Entry.Doubts))
	for n, f := range k.Entry.Findings {
		f = slices.Clone(f)
		of := ""
		if n == 0 && k.Entry.Kind == "plan" {
			of = ofPlan
		}
		for i, part := range f {
			if v, ok := part.(page.Verdict); ok && v.Of != "" {
				of = v.Of
				if v.Doubt = about[of]; unhelped(k, of) && v.Words == verdict.CannotTell.Key() {
					v.More = nil
				}
				f[i] = v
			}
		}
		out = append(out, f)
		for i, d := range k.Entry.Doubts {
			if !done[i] && shown < mostDoubtsShown && of != "" && slices.Contains(d.Of, of) {
				out = append(out, doubtSentence(d))
				done[i] = true
				shown++
			}
		}
	}
	for i, d := range k.Entry.Doubts { // about no finding of its own
		if !done[i] && shown < mostDoubtsShown {
			out = append(out, doubtSentence(d))
			shown++
		}
	}
	k.Entry.Findings = out
	markTables(k.Entry.Tables, about)
	markFactors(k, about)
}

// numberless are the doubts beside which no number of specimens is told: more of the same kind would
// not settle the difference, or the number rests on what is doubted.
var numberless = []string{"one-block", "confounded", "odd-specimen", "repeated", "ceiling"}

// unhelped reports whether a difference is one that no number of specimens is told of.
func unhelped(k *session.Call, key string) bool {
	return slices.ContainsFunc(k.Entry.Doubts, func(d page.Doubt) bool {
		return slices.Contains(numberless, d.Code) && slices.Contains(d.Of, key)
	})
}

// markTables marks the answers of a table of differences.
func markTables(tables []page.Table, about map[string]string) {
	for _, t := range tables {
		answer, first, second := columnOf(t, "answer"), columnOf(t, "first"), columnOf(t, "second")
		if answer < 0 || first < 0 || second < 0 {
			continue
		}
		within := columnOf(t, "within", "mode")
		for _, row := range t.Rows {
			pair, setting := ": "+row[first].Text+", "+row[second].Text, ""
			if within >= 0 {
				setting = "; " + row[within].Text
			}
			for key, what := range about {
				number, ok := strings.CutSuffix(key, setting) // told from one of its values to another
				ok = ok && strings.HasPrefix(row[first].Text, number+" ") &&
					strings.HasPrefix(row[second].Text, number+" ")
				if ok || strings.HasSuffix(key, pair+setting) {
					row[answer].Doubt = what
				}
			}
		}
	}
}

// columnOf is the first column of a table with one of some ids; -1 where it has none.
func columnOf(t page.Table, ids ...string) int {
	return slices.IndexFunc(t.Columns, func(c page.Column) bool { return slices.Contains(ids, c.ID) })
}

// markFactors marks the answers of what drove a response, and names the doubts beside them.
func markFactors(k *session.Call, about map[string]string) {
	for _, t := range k.Entry.Tables {
		factor, answer, doubt, mode := columnOf(t, "factor"), columnOf(t, "answer"), columnOf(t, "doubt"),
			columnOf(t, "mode")
		if t.ID != "factors" || factor < 0 || answer < 0 || doubt < 0 {
			continue
		}
		for _, row := range t.Rows {
			name, _, _ := strings.Cut(row[factor].Text, ", ")
			for _, a := range k.Analysis.Answers {
				if what := about[a.Key]; what != "" && concerns(a.Key, name) &&
					(mode < 0 || strings.HasSuffix(a.Key, "; "+row[mode].Text)) {
					row[answer].Doubt, row[doubt] = what, page.T(what)
					break
				}
			}
		}
	}
}

// scatter is the fit whose residuals the specimens are checked by: least squares itself, and of a fit in blocks that
// with the blocks' predicted shifts among what is expected and among what takes leverage.
func (q *inquiry) scatter() (*linear.Fit, bool) {
	if q.fit == nil || q.fit.Method.Blocks == nil {
		return q.plain()
	}
	blocked, ok := q.fit.Estimator.(*mixed.Fit)
	if !ok || !(q.fit.Sigma > 0) {
		return nil, false
	}
	f := *q.fit.Fit
	f.Leverage = blocked.ResidualShares(q.k.Context)
	for i, share := range f.Leverage {
		f.Leverage[i] = 1 - share
	}
	return &f, true
}

// alikeScattered is the fit whose residuals the levels' spreads are compared by: that of scatter, its residuals as long
// as if the terms alone had leverage, for a specimen whose block takes much of it would seem to scatter little.
func (q *inquiry) alikeScattered() (*linear.Fit, bool) {
	f, ok := q.scatter()
	if !ok || f == q.fit.Fit {
		return f, ok
	}
	f.Residuals = slices.Clone(f.Residuals)
	for i, h := range q.fit.Leverage {
		f.Residuals[i] *= math.Sqrt((1 - h) / (1 - f.Leverage[i]))
	}
	return f, true
}

// plain is the embedded fit where least squares fitted it without blocks.
func (q *inquiry) plain() (*linear.Fit, bool) {
	if q.fit == nil || q.fit.Method.Blocks != nil || q.fit.Method.Resistant || !(q.fit.Sigma > 0) {
		return nil, false
	}
	return q.fit.Fit, true
}
