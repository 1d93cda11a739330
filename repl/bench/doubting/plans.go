package doubting

import (
	"errors"
	"math"
	"slices"
	"strconv"

	"breakbook/models/checks"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// ofPlan is the key of the one answer of a plan: how many specimens, with what chance.
const ofPlan = "plan"

// planned lays out a plan for its checks: the fit whose residuals tell of the spread that it goes by, and the
// number of specimens as its answer.
func (q *inquiry) planned(cmd *phrase.Plan, o *session.Outcome) error {
	if cmd.Spread != nil {
		return q.k.Unhandled()
	}
	asked, of := *q.k, *q.k.Analysis
	of.Answers = []session.Answer{answerOf(cmd, o)}
	asked.Analysis, q.k = &of, &asked
	switch of := cmd.Subject.(type) {
	case phrase.PlanMeans:
		if of.Fit != nil {
			return q.named(*of.Fit)
		}
		return q.plainly(of.Y, columnsOf(of.Categories())...)
	case phrase.PlanLimit:
		return q.plainly(of.Y, columnsOf(of.Categories())...)
	}
	return q.k.Unhandled()
}

func columnsOf(all []phrase.ColumnRef) []string {
	return lists.Mapped(all, func(c phrase.ColumnRef) string { return c.Column })
}

// answerOf is the answer of a plan: it has no verdict, but a number of specimens in all and a chance. Where the number
// was given only the chance answers, within 10 percentage points.
func answerOf(cmd *phrase.Plan, o *session.Outcome) session.Answer {
	p := o.Keeps.Plan.Finding
	finding := p.Sentence()
	if all := o.Analysis.Answers; len(all) > 0 {
		finding = all[0].Finding
	}
	gap := say.Gap{Alone: true, Probability: p.Chance, Enough: say.Enough{N: p.N, InAll: true}}
	if cmd.HasNumber() {
		gap = say.Gap{Alone: true, Value: p.Chance, Range: verdict.Range{Low: p.Chance - 0.1, High: p.Chance + 0.1}}
	}
	return session.Answer{Key: ofPlan, Finding: finding, Gap: gap}
}

// planOn is the plan once more on another fit.
func planOn(cmd *phrase.Plan, f *phrase.Fit, name phrase.Name) []any {
	again := *cmd
	of, ok := cmd.Subject.(phrase.PlanMeans)
	if !ok || of.Fit == nil {
		return nil
	}
	again.As, of.Fit = nil, &name
	again.Subject = of
	return []any{f, &again}
}

// planBlocks is the plan with the boards, batches or days counted that the series does not mark, where they differ and
// that changes it: it takes more of whole boards, or fewer specimens, since each board has every level. A number that
// is too small, or uneven, for them is left out.
func (q *inquiry) planBlocks() error {
	s := q.k.Analysis.Sample
	all := s.BlockCounts(q.k.Context, append(session.MarkedBlocks(s.Frame), q.k.Analysis.Columns...))
	if from := q.k.Scope().From; len(all) == 0 || from != nil && from.Text != q.k.Session.Current() {
		return nil // or no line marks a column of a series that is not the one in use
	}
	block := finest(all)
	cmd := unnamed(q.k.Command.Do).(*phrase.Plan)
	list := []any{&phrase.Mark{Column: phrase.ColumnRef{Column: block.Column}, Role: phrase.Choice{Word: "block"}}, cmd}
	was := q.k.Analysis.Answers[0].Gap
	o, _, err := q.carry(list, toTell)
	if refused := new(page.Problem); errors.As(err, &refused) && cmd.HasNumber() {
		cmd.WithoutNumber()
		if o, _, err = q.carry([]any{cmd}, toTell); err == nil {
			was = answerOf(cmd, o).Gap
			o, _, err = q.carry(list, toTell)
		}
	}
	if err != nil {
		return err
	}
	then, why, under := answerOf(cmd, o), "this counts each as if it stood for itself", boardsClear
	switch n, now := was.Enough.N, then.Gap.Enough.N; {
	case !(shifted(was, then.Gap) > 1) || n < now && now <= inWholes(o.Keeps.Plan, n):
		return nil
	case now < n || then.Gap.Value > was.Value:
		why, under = "this counts as spread what one "+block.Column+" differs from the next by", doubts.Clear
	}
	if !(q.ofBoards(block.Column) < under) {
		return nil // and the caution about boards says what to type
	}
	q.known = true
	q.addDoubt(page.Doubt{Code: "blocks", About: block.Column, Of: []string{ofPlan}, Try: line(list),
		Text: say.After(page.Say("specimens of one "+block.Column+" are alike, and "+why+". Allowing for ", block.N,
			" values of "+block.Column+": "), then.Finding)})
	return nil
}

// boardsClear is the probability of their test below which boards count as different for a plan that would have to be
// larger. It is that of an answer and not of a check, since the test of few boards is weak even where half of the
// variance is theirs, and a plan that is too small does not show what it is made for. One that is too large does, and
// is doubted where the check is clear as others have to be.
const boardsClear = 0.05

// ofBoards is the probability of a column of boards as a term beside the others, whose F is exact for boards of one
// size at any number of specimens; NaN where it cannot be tested.
func (q *inquiry) ofBoards(column string) float64 {
	if q.typed == nil {
		return math.NaN()
	}
	with := *q.typed
	with.UnevenSpread, with.Resistant = false, false
	with.Terms.List = append(slices.Clone(with.Terms.List), phrase.TermOf(column))
	f, err := q.fitted(&with)
	if err != nil || !(f.Sigma > 0) {
		return math.NaN()
	}
	return q.ofTerm(f, []string{column})
}

// inWholes is a number of specimens in all that is made up to whole boards as a plan takes them.
func inWholes(p *session.Plan, n int) int {
	step := 1
	if m, ok := p.Model.(interface{ Step() int }); ok {
		step = m.Step() * p.Finding.N / p.Finding.PerLevel
	}
	return (n + step - 1) / step * step
}

// planSpreads asks whether the levels scatter alike, and not only since an odd specimen is in one of them.
func (q *inquiry) planSpreads() error {
	if f, ok := q.plain(); ok && q.holds("odd-specimen") {
		odd, err := checks.Oddest(f, doubts.Clear)
		if err != nil {
			return err
		}
		if _, _, p := unalike(q.k.Context, f, odd.Specimen); !(p < doubts.Clear) {
			return nil
		}
	}
	return q.unevenSpread()
}

// planLargest is the plan with the largest of the levels' spreads for all of them; a fit, which has a spread of its
// own, is left out.
func planLargest(cmd *phrase.Plan, y *session.Response, sd float64) []any {
	again := *cmd
	again.As, again.Spread = nil, &phrase.Amount{Value: threeDigits(sd), Unit: y.Unit()}
	if y.Logged() {
		again.Spread = &phrase.Amount{Value: threeDigits(math.Expm1(sd)), Percent: true}
	}
	if of, ok := cmd.Subject.(phrase.PlanMeans); ok {
		of.Fit = nil
		again.Subject = of
	}
	return []any{&again}
}

// threeDigits is a number of three digits, as it is typed.
func threeDigits(x float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	if err != nil {
		return x
	}
	return out
}
