package blanks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/plan"
	"breakbook/models/together"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// separatedFinding tells what to make next and what that does to how two factors went together.
func separatedFinding(n int, kinds []kind, a, b string, now, then float64) page.Sentence {
	ratio := func(x float64) page.Num { return page.Num{Value: x, Style: page.Ratio} }
	return page.Say(nextJoints(n, kinds), ": the association of "+a+" and "+b+" is ", ratio(now),
		" of 1 now and would be ", ratio(then), " then, and to exchange "+say.Plural(n, "it", "one of them")+
			" for a joint of another kind would not do better.")
}

// separatedAnswer says whether the two can be distinguished, now and then.
func separatedAnswer(a, b string, now, then float64, settled bool) page.Sentence {
	both := a + " and " + b
	switch {
	case then >= session.Confounded:
		return page.Say("Even then " + both + " would be confounded: make more of them.")
	case !settled:
		return page.Say("Now nothing tells " + a + " from " + b + ": in these specimens they always changed " +
			"together. Then each would have an effect of its own.")
	case now >= session.Confounded:
		return page.Say("Now " + both + " are confounded: which of them did it cannot be told. Then it could.")
	}
	more := "make that surer."
	if now-then >= 0.01 { // of the association, as it is shown
		more = "tell them apart better."
	}
	return page.Say(both + " are not confounded: what each does can be told now. These joints would " + more)
}

// Separate names the joints that would distinguish two factors best: of the levels, and of low, middle and high of the
// numbers, that were seen.
func Separate(k *session.Call, cmd *phrase.Separate) (*session.Outcome, error) {
	n := cmd.N
	if n.Value < 1 || n.Value > mostSuggested {
		return nil, page.Refuse(page.CodeOutOfRange, n.At, fmt.Sprintf("1 to %d joints can be suggested",
			mostSuggested), "")
	}
	f, err := separateOn(k, cmd)
	if err != nil {
		return nil, err
	}
	f = inNewSeries(f)
	settable, found := settable(k, f, cmd.A.Column, cmd.B.Column)
	for _, ref := range []phrase.ColumnRef{cmd.A, cmd.B} {
		if slices.Contains(namesOf(f, found), ref.Column) {
			return nil, page.Refuse(page.CodeNothingToSet, ref.At, ref.Column+
				" is marked as given: it comes with the blank and cannot be chosen",
				"choose among the blanks on hand: suggest 8 of FIT from blanks.csv")
		}
	}
	points, ok := kinds(f, settable)
	if !ok { // too many with the other factors: these stay as they are
		of := variables{slices.Index(f.Columns(), cmd.A.Column), slices.Index(f.Columns(), cmd.B.Column)}
		for _, v := range settable {
			if !slices.Contains(of, v) {
				found = append(found, v)
			}
		}
		slices.Sort(of)
		settable = of
		points, ok = kinds(f, settable)
	}
	if !ok {
		return nil, page.Refuse(page.CodeOutOfRange, cmd.A.At, fmt.Sprintf("%s and %s make more than %d kinds of joint",
			cmd.A.Column, cmd.B.Column, mostKinds), "")
	}
	measured, candidates, of, err := separating(k, f, points, found, cmd)
	if err != nil {
		return nil, err
	}
	s, err := plan.Separate(k.Context, measured, candidates, of, n.Value, k.Session.Settings().Seed)
	if err != nil {
		return nil, err
	}
	count := counted(s.Chosen, len(points))
	now := f.Sample.Together(k.Context, cmd.A.Column, cmd.B.Column)
	then, err := associatedThen(k, f, points, s.Chosen, cmd)
	if err != nil {
		return nil, err
	}
	k.Entry.Tables = []page.Table{suggested(f, settable, points, count)}
	finding := separatedFinding(n.Value, toMake(f, settable, points, count), cmd.A.Column, cmd.B.Column, now, then)
	answer := separatedAnswer(cmd.A.Column, cmd.B.Column, now, then, s.Settled)
	if slices.Contains(namesOf(f, settable), frames.SeriesColumn) {
		answer = seriesAnswer(factorBeside(cmd), now)
	}
	k.Entry.Findings = []page.Sentence{finding, answer}
	k.Entry.Find(foundAveraged(f, found)...)
	others := slices.DeleteFunc(slices.Clone(settable), func(v int) bool {
		c, _ := f.Sample.Frame.Column(f.Columns()[v])
		own := c.Name == cmd.A.Column || c.Name == cmd.B.Column
		return own && c.Unit.Dimension() != "density"
	})
	if asked := askedOfBlanks(k, f, others); len(asked) > 0 {
		k.Entry.Warn(page.Say("This asks for values of " + strings.Join(asked, " and ") +
			" that you may have no blank for. If it comes with the blank and cannot be chosen, type: mark " +
			phrase.Spelled(asked[0]) + " as given"))
	}
	k.Entry.Values = page.ValuesOf(suggestFigures{Gain: s.Gain, apart: &apart{now, then}}, nil)
	return session.Untested(f.Sample, f.Y, f.Known(), suggestedMains(f, settable, points, count, finding)), nil
}

// seriesAnswer says how one more series separates a factor from the series that there are.
func seriesAnswer(factor string, now float64) page.Sentence {
	apart := "These specimens separate what " + factor + " does from what series does already. "
	if now >= session.Confounded {
		apart = "Now nothing tells " + factor + " from series: they changed together. "
	}
	return page.Say(apart + "Nobody can add to a series that is over, so these joints are all of one new series, " +
		"where " + factor + " differs and the series does not: the more of them, the surer what it does.")
}

// newSeries is what the series of joints is called that are still to be made.
const newSeries = "a new one"

// inNewSeries is a fit by which the joints to come are of one more series and of none that there are.
func inNewSeries(f *fitted.Fit) *fitted.Fit {
	v := slices.Index(f.Columns(), frames.SeriesColumn)
	if v < 0 || !f.Model().Variables[v].IsCategory() {
		return f
	}
	with, fit := *f, *f.Fit
	with.Fit = &fit
	fit.Matrix.Model.Variables = slices.Clone(fit.Matrix.Model.Variables)
	fit.Matrix.Present = slices.Clone(fit.Matrix.Present)
	series := &fit.Matrix.Model.Variables[v]
	fit.Matrix.Present[v] = []int{len(series.Levels)}
	series.Levels = append(slices.Clip(series.Levels), newSeries)
	return &with
}

// factorBeside is which of the two factors is not the series.
func factorBeside(cmd *phrase.Separate) string {
	if cmd.A.Column == frames.SeriesColumn {
		return cmd.B.Column
	}
	return cmd.A.Column
}

// separateOn is the fit whose terms are to be separated: the one named, else the latest of this series that has both
// columns, else the latest of this series; with the columns that it lacks, and where there is none a fit of the load on
// both. It is one by plain least squares: what counts are its columns and not its residuals.
func separateOn(k *session.Call, cmd *phrase.Separate) (*fitted.Fit, error) {
	if cmd.A.Column == cmd.B.Column {
		return nil, page.Refuse(page.CodeSameColumn, cmd.B.At, cmd.A.Column+
			" cannot be separated from itself", "name two factors")
	}
	var on *phrase.Fit
	series := k.Session.Current()
	if cmd.Fit != nil {
		r, _ := k.Session.Result(cmd.Fit.Text)
		if on, _ = plainFit(r, cmd); on == nil {
			return nil, k.Session.NoFit(*cmd.Fit)
		}
		series = r.Series
	} else {
		hasBoth := false
		for _, known := range slices.Backward(k.Session.Results()) {
			r, _ := k.Session.Result(known.Name)
			one, both := plainFit(r, cmd)
			if one != nil && r.Series == series && (on == nil || both && !hasBoth) {
				on, hasBoth = one, both
			}
		}
	}
	fit := &phrase.Fit{Clauses: phrase.Clauses{From: &phrase.Name{Text: series}}}
	if on != nil {
		fit.For, fit.Y, fit.Weight = on.For, on.Y, on.Weight
		fit.Terms.List = slices.Clone(on.Terms.List)
	} else {
		frame, ok := k.Session.Frame(series)
		if !ok {
			return nil, page.Refuse(page.CodeNoSeries, 0, "no series is open", "open FILE.csv")
		}
		load, ok := frame.RoleColumn(frames.Load)
		if !ok {
			return nil, page.Refuse(page.CodeNoLoad, cmd.N.At, "no column is marked as load, and there is no fit",
				"mark COLUMN as load")
		}
		fit.Y = session.Plainly(load.Name)
	}
	formula := session.FormulaOf(fit.Terms)
	frame, _ := k.Session.Frame(series)
	for _, ref := range []phrase.ColumnRef{cmd.A, cmd.B} {
		if slices.Contains(formula.Columns, ref.Column) {
			continue
		}
		if c, there := frame.Column(ref.Column); there && !session.IsProperty(c) {
			return nil, page.Refuse(page.CodeNoFactor, ref.At, ref.Column+" is no factor: "+session.NoProperty(c),
				"name two columns that say how a joint was made")
		}
		fit.Terms.List = append(fit.Terms.List, phrase.TermOf(ref.Column))
	}
	quiet := *k
	quiet.Command = phrase.CommandOf(fit)
	f, err := fitted.OnTerms(&quiet, fit.OnTerms, fit.FitOptions, false)
	if err != nil {
		return nil, err
	}
	k.Taken = quiet.Taken
	for _, ref := range []phrase.ColumnRef{cmd.A, cmd.B} {
		if f.Sample.Distinct(k.Context, ref.Column) < 2 {
			return nil, page.Refuse(page.CodeOneLevel, ref.At, ref.Column+" is the same for every specimen used", "")
		}
	}
	return f, nil
}

// plainFit is the command of a result that is a fit, nil for another, and whether it has both columns.
func plainFit(r session.Result, cmd *phrase.Separate) (on *phrase.Fit, both bool) {
	f, ok := fitted.Of(r)
	if !ok {
		return nil, false
	}
	on, _ = f.Command.Do.(*phrase.Fit)
	return on, slices.Contains(f.Columns(), cmd.A.Column) && slices.Contains(f.Columns(), cmd.B.Column)
}

// unmeasured is the weight of a joint that is still to be made: enough for a level that only such have to be one, and
// too little to move a mean.
const unmeasured = 1e-12

// separating is the information measured about the columns of a fit, those that cannot be distinguished included, what
// each kind of joint would bring, averaged over the blanks measured for what comes with them, and which columns are of
// the two factors.
func separating(k *session.Call, f *fitted.Fit, points []linear.Point, found variables,
	cmd *phrase.Separate) (measured [][]float64, candidates [][][]float64, of []int, err error) {
	blanks := blanksMeasured(f, found, max(1, mostLooked/len(points)))
	m := f.Model()
	n := f.Sample.Frame.Len()
	wide := design.Model{Terms: m.Terms, ThroughZero: m.ThroughZero, Weights: make([]float64, 0, n+
		len(points)*len(blanks))}
	for i := range n {
		wide.Weights = append(wide.Weights, m.Weight(i))
	}
	var at []linear.Point // of every row that is not measured
	for _, p := range points {
		for _, blank := range blanks {
			at, wide.Weights = append(at, blank.With(p)), append(wide.Weights, unmeasured)
		}
	}
	for v := range m.Variables {
		wide.Variables = append(wide.Variables, longer(f, v, at))
	}
	matrix, err := design.Spell(k.Context, n+len(at), wide, design.FromBaseline)
	if err != nil {
		return nil, nil, nil, err
	}
	p := len(matrix.Columns)
	measured = make([][]float64, p)
	for a := range p {
		measured[a] = make([]float64, p)
		for b := range p {
			for i := range n {
				measured[a][b] += wide.Weights[i] * matrix.Columns[a][i] * matrix.Columns[b][i]
			}
		}
	}
	scale := math.Sqrt(meanWeight(f) / float64(len(blanks)))
	for i := range points {
		var rows [][]float64
		for j := range blanks {
			row := lists.Made(p, func(a int) float64 { return scale * matrix.Columns[a][n+i*len(blanks)+j] })
			rows = append(rows, row)
		}
		candidates = append(candidates, rows)
	}
	own := []int{slices.Index(f.Columns(), cmd.A.Column), slices.Index(f.Columns(), cmd.B.Column)}
	for a, label := range matrix.Labels {
		if label.Term >= 0 && slices.ContainsFunc(m.Terms[label.Term].Factors, func(x design.Factor) bool {
			return slices.Contains(own, x.Variable)
		}) {
			of = append(of, a)
		}
	}
	return measured, candidates, of, nil
}

// longer is a variable of a fit with joints more.
func longer(f *fitted.Fit, variable int, joints []linear.Point) design.Variable {
	out := f.Model().Variables[variable]
	out.Numbers, out.Codes = slices.Clone(out.Numbers), slices.Clone(out.Codes)
	for _, p := range joints {
		if out.IsCategory() {
			out.Codes = append(out.Codes, p.Levels[variable])
		} else {
			out.Numbers = append(out.Numbers, p.Numbers[variable])
		}
	}
	return out
}

// associatedThen is the association of the two factors, corrected for chance, with the joints chosen among the
// specimens.
func associatedThen(k *session.Call, f *fitted.Fit, points []linear.Point, chosen []int,
	cmd *phrase.Separate) (float64, error) {
	joints := lists.Mapped(chosen, func(c int) linear.Point { return points[c] })
	var pair []design.Variable
	for _, name := range []string{cmd.A.Column, cmd.B.Column} {
		pair = append(pair, longer(f, slices.Index(f.Columns(), name), joints))
	}
	strength, err := together.Strength(k.Context, pair[0], pair[1])
	return doubts.Corrected(strength, session.CategoryLevels(pair[0]), session.CategoryLevels(pair[1]),
		f.Sample.Frame.Len()+len(chosen)), err
}
