package bench

import (
	"slices"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// mostNext is how many lines are offered after a result.
const mostNext = 3

// fewTried is the number of specimens up to which every line that is offered is tried: of more there are mostly enough
// for an answer.
const fewTried = 12

// tellNext offers whole lines that fit a result, on the series it is about.
func tellNext(k *session.Call, s *session.Session) {
	if k.Back != nil || k.Asked != nil {
		return
	}
	n := &follower{k: k, s: s}
	n.frame, _ = s.Frame(k.Entry.Series)
	if n.frame == nil {
		return
	}
	lines := n.lines()
	if n.frame.Len() <= fewTried {
		lines = lists.Where(lines, n.works)
	}
	k.Entry.Next = lines[:min(mostNext, len(lines))]
}

// follower finds what may be typed next.
type follower struct {
	k     *session.Call
	s     *session.Session // as the command left it
	frame *frames.Frame    // that the entry is about
	out   []string
}

// add is one line more; the series is named where it is not the current one.
func (n *follower) add(do any) {
	c := phrase.CommandOf(do)
	if c == nil {
		return
	}
	if own := n.k.Command.Clauses().For; own != nil && slices.Contains(c.Entry.Clauses, phrase.For) {
		c.Clauses().For = own
	}
	if n.k.Entry.Series != n.s.Current() && slices.Contains(c.Entry.Clauses, phrase.From) {
		c.Clauses().From = &phrase.Name{Text: n.k.Entry.Series}
	}
	if line := phrase.Line(do); !slices.Contains(n.out, line) {
		n.out = append(n.out, line)
	}
}

// works reports whether a line can be carried out.
func (n *follower) works(line string) bool {
	c, err := parser.ParseLine(line, n.s)
	if err != nil {
		return false
	}
	again := n.k.Quiet(n.s, c, []bool{})
	_, err = handlerOf(again, c)(again)
	return err == nil
}

func (n *follower) lines() []string {
	result := phrase.Name{Text: n.k.Entry.Name}
	switch cmd := n.k.Command.Do.(type) {
	case *phrase.Open, *phrase.Pool, *phrase.PutBeside, *phrase.PutBelow, *phrase.ReadCurves:
		n.opened()
	case *phrase.Look:
		n.opened()
	case *phrase.Adjust:
		n.adjusted()
	case *phrase.Drove:
		n.drove()
	case *phrase.DroveMode:
		n.add(&phrase.DrawGaps{Gaps: result})
		if a, ok := n.factor(); ok {
			n.add(&phrase.CountModes{Mode: cmd.Modes, A: a})
		}
	case *phrase.Average:
		n.levels(cmd.Y, cmd.A)
		n.add(&phrase.Drove{Y: cmd.Y})
	case *phrase.CountModes:
		n.add(&phrase.DroveMode{Modes: cmd.Mode})
		n.add(&phrase.DrawModes{Mode: cmd.Mode, A: cmd.A})
	case *phrase.Compare:
		n.compared(cmd)
		n.add(&phrase.DrawGaps{Gaps: result})
	case *phrase.Odds, *phrase.Agree:
		n.add(&phrase.DrawGaps{Gaps: result})
	case *phrase.Fit:
		n.fit(result)
	case *phrase.Anova:
		if of, ok := cmd.Subject.(phrase.OfFit); ok {
			n.fit(of.Fit)
		}
	case *phrase.Adjusted:
		n.add(&phrase.Compare{Subject: phrase.LevelsOfFit{A: cmd.A, Fit: cmd.Fit}})
		n.add(&phrase.DrawAdjusted{LevelsOfFit: phrase.LevelsOfFit{A: cmd.A, Fit: cmd.Fit}})
	case *phrase.ShareOut:
		n.add(&phrase.DrawShares{Shares: result})
	case *phrase.Until:
		if cmd.Terms != nil {
			n.untilDrawn(cmd)
		}
	case *phrase.Same:
		n.levels(cmd.Y, cmd.A)
	case *phrase.Plan:
		n.add(&phrase.Sheet{Plan: result, File: phrase.File{Path: result.Text + ".csv"}})
		n.add(&phrase.DrawChance{Plan: result})
	case *phrase.Sheet:
		if frames.LookPath(cmd.File.Path) == "" { // it was to print: what is written on it is typed into this
			n.add(&phrase.Sheet{Plan: cmd.Plan, File: phrase.File{Path: cmd.Plan.Text + ".csv"}, Day: cmd.Day})
		}
	case *phrase.Judge:
		n.afterLook(cmd)
	}
	return n.out
}

// afterLook is what follows a look at a series made by a plan: the picture of it, and a comparison once it has ended.
func (n *follower) afterLook(cmd *phrase.Judge) {
	r, _ := n.s.Result(cmd.Plan.Text)
	if r.Plan == nil || len(r.Plan.Factors) == 0 {
		return
	}
	n.add(&phrase.DrawBy{ByLevels: phrase.ByLevels{Y: session.Plainly(r.Plan.Response),
		A: phrase.ColumnRef{Column: r.Plan.Factors[0]}}})
}

// opened are the questions of a series that was just brought in.
func (n *follower) opened() {
	load, ok := n.frame.RoleColumn(frames.Load)
	if !ok {
		return
	}
	y := session.Plainly(load.Name)
	if staged := n.stagedPlan(load.Name); staged != "" {
		n.add(&phrase.Judge{Plan: phrase.Name{Text: staged}})
	}
	if load.Kind == frames.Number && n.varies(load.Name) {
		n.add(&phrase.Drove{Y: y})
		if a, ok := n.factor(); ok {
			n.add(&phrase.Average{ByLevels: phrase.ByLevels{Y: y, A: a}})
		}
	}
	if mode, ok := n.frame.RoleColumn(frames.Failure); ok && mode.Kind == frames.Category {
		n.add(&phrase.DroveMode{Modes: phrase.ColumnRef{Column: mode.Name}})
	}
}

// varies reports whether a column has two different numbers.
func (n *follower) varies(column string) bool {
	e := n.frame.Extent(n.k.Context, column)
	return e.Least < e.Most
}

// stagedPlan is the latest plan in stages for a response, where the series is a test sheet that holds its first
// stage; "" for none.
func (n *follower) stagedPlan(response string) string {
	waits, _ := session.ToCome(n.frame)
	if waits == nil {
		return ""
	}
	broken := lists.Count(waits, func(w bool) bool { return !w })
	all := n.s.Results()
	slices.Reverse(all)
	for _, known := range all {
		r, _ := n.s.Result(known.Name)
		if p := r.Plan; p != nil && p.Finding.Stages > 0 && p.Response == response && len(p.Factors) == 1 &&
			broken*p.Finding.Stages >= p.PerLevel*len(p.Levels[0]) {
			if _, ok := n.frame.Column(p.Factors[0]); ok {
				return r.Name
			}
		}
	}
	return ""
}

// adjusted are the questions of the column that was brought to reference conditions, the last of its series.
func (n *follower) adjusted() {
	columns := n.frame.Columns()
	y := session.Plainly(columns[len(columns)-1].Name)
	if a, ok := n.factor(); ok {
		n.add(&phrase.Compare{Subject: phrase.ByLevels{Y: y, A: a}})
		n.add(&phrase.DrawBy{ByLevels: phrase.ByLevels{Y: y, A: a}})
	}
}

// factor is the category of most levels, up to six, that says how joints were made.
func (n *follower) factor() (phrase.ColumnRef, bool) {
	best, most := "", 1
	for _, c := range n.frame.Columns() {
		if c.Kind == frames.Category && session.IsProperty(c) && !session.IsBlock(c) && len(c.Levels) > most &&
			len(c.Levels) <= 6 {
			best, most = c.Name, len(c.Levels)
		}
	}
	return phrase.ColumnRef{Column: best}, best != ""
}

// levels are a comparison and the picture of a response by a category.
func (n *follower) levels(y phrase.Response, a phrase.ColumnRef) {
	n.add(&phrase.Compare{Subject: phrase.ByLevels{Y: y, A: a}})
	n.add(&phrase.DrawBy{ByLevels: phrase.ByLevels{Y: y, A: a}})
}

// compared is what a comparison leads to: its picture, and a plan where something cannot be told.
func (n *follower) compared(cmd *phrase.Compare) {
	switch of := cmd.Subject.(type) {
	case phrase.ByLevels:
		n.add(&phrase.DrawBy{ByLevels: of})
		if n.open() {
			n.plan(of.Y, of.A, nil)
		}
		n.add(&phrase.Drove{Y: of.Y})
	case phrase.LevelsOfFit:
		n.add(&phrase.DrawAdjusted{LevelsOfFit: of})
		if r, ok := n.s.Result(of.Fit.Text); ok && n.open() {
			if f, ok := fitted.Of(r); ok {
				n.plan(session.Plainly(f.Y.Column.Name), of.A, plannable(f, r.Name))
			}
		}
	}
}

// open reports whether an answer of the entry cannot be told, and more of the same would help.
func (n *follower) open() bool {
	return n.k.Analysis != nil && len(n.k.Entry.Doubts) == 0 &&
		slices.ContainsFunc(n.k.Analysis.Answers, func(a session.Answer) bool {
			return a.Gap.Answer == verdict.CannotTell
		})
}

// plannable is a fit that a plan takes its spread from; nil where it has no one spread.
func plannable(f *fitted.Fit, name string) *phrase.Name {
	if f.Method.Resistant || f.Method.Weight.Column != "" || !(f.Sigma > 0) {
		return nil
	}
	return &phrase.Name{Text: name}
}

// plan is the next series that would tell, with the spread of a fit where one is given.
func (n *follower) plan(y phrase.Response, a phrase.ColumnRef, fit *phrase.Name) {
	if y.Function != "" {
		return
	}
	n.add(&phrase.Plan{Subject: phrase.PlanMeans{ByLevels: phrase.ByLevels{Y: y, A: a},
		Detecting: &phrase.Amount{Value: 0.10, Percent: true}, Fit: fit}})
}

// drove is what follows what drove a response: the strongest of its categories compared, and the picture.
func (n *follower) drove() {
	all := n.s.Results()
	slices.Reverse(all)
	fit := slices.IndexFunc(all, func(r phrase.KnownResult) bool { return r.Kind == "fit" })
	if r, _ := n.s.Result(n.k.Entry.Name); fit >= 0 && r.Gaps != nil {
		for _, row := range r.Gaps.Rows {
			if c, ok := n.frame.Column(row.Factors[0]); ok && c.Kind == frames.Category {
				n.add(&phrase.Compare{Subject: phrase.LevelsOfFit{A: phrase.ColumnRef{Column: c.Name},
					Fit: phrase.Name{Text: all[fit].Name}}})
				break
			}
		}
	}
	n.add(&phrase.DrawGaps{Gaps: phrase.Name{Text: n.k.Entry.Name}})
}

// fit is what is asked of a fit: the first of its categories that can be compared, and the picture of its effects
// where one has an interval.
func (n *follower) fit(name phrase.Name) {
	r, _ := n.s.Result(name.Text)
	f, ok := fitted.Of(r)
	if !ok {
		return
	}
	for i, v := range f.Model().Variables {
		if c, ok := n.frame.Column(v.Name); v.IsCategory() && ok && !session.IsBlock(c) && n.comparable(f, i) {
			n.add(&phrase.Compare{Subject: phrase.LevelsOfFit{A: phrase.ColumnRef{Column: v.Name}, Fit: name}})
			break
		}
	}
	if f.Change != nil {
		n.add(&phrase.DrawAgainst{Y: phrase.Response{Column: phrase.ColumnRef{Column: f.Y.Column.Name},
			Function: f.Y.Function}, X: phrase.ColumnRef{Column: f.Change.Column}, Fit: &name})
	}
	if n.drawable(f) {
		n.add(&phrase.DrawEffects{OfFit: phrase.OfFit{Fit: name}})
	}
	n.add(&phrase.Check{Subject: phrase.OfFit{Fit: name}})
}

// comparable reports whether the levels of a category can be compared with the fit's other factors held equal.
func (n *follower) comparable(f *fitted.Fit, variable int) bool {
	partners, err := fitted.PartnersOf(n.k, f, variable, n.k.Confidence())
	if err != nil {
		return false
	}
	_, ok := f.LevelsOf(n.k.Context, variable, partners)
	return ok && f.Sigma > 0
}

// drawable reports whether an effect of a fit has an interval.
func (n *follower) drawable(f *fitted.Fit) bool {
	for i, c := range f.Coefficients {
		w := make([]float64, len(f.Coefficients))
		w[i] = 1
		if e, _ := f.Combination(n.k.Context, w); c.Label.Term >= 0 && e.SE > 0 {
			return true
		}
	}
	return false
}

// untilDrawn is the picture of the strength of one way of breaking by the first of its categories.
func (n *follower) untilDrawn(cmd *phrase.Until) {
	for _, t := range cmd.Terms.List {
		ref := t.Factors[0].Column
		if c, ok := n.frame.Column(ref.Column); ok && c.Kind == frames.Category {
			n.add(&phrase.DrawUntil{Y: cmd.Y, Mode: cmd.Mode, A: &ref, Scatter: cmd.Scatter})
			return
		}
	}
}
