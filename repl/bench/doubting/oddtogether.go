package doubting

import (
	"math"
	"slices"

	"breakbook/models/checks"
	"breakbook/models/doubts"
	"breakbook/models/linear"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

const (
	// fewestForSeveral and mostForSeveral are the numbers of specimens between which several odd ones are looked for:
	// of fewer, two are no exception, and of more, they hide no longer.
	fewestForSeveral = 12
	mostForSeveral   = 2000
	// oddShare bounds how many may be odd together: one in so many.
	oddShare = 8
	// mostOdd bounds them too, for each takes two fits.
	mostOdd = 6
	// hopeless is the probability of the furthest specimen from which on no others are looked for behind it.
	hopeless = 0.9
)

// oddOne is one of several odd specimens: its row, and what the others without all of these let expect of it.
type oddOne struct {
	row             int
	value, expected float64
	sd              float64 // of that
}

// oddTogether tells specimens that are odd together, where the answer hangs on them: the furthest is taken out, the
// rest fitted again, and so on, as checks.Several does, here with the blocks of the fit. Each of them has to be odd by
// the scale of the others once the rest of the group is out.
func (q *inquiry) oddTogether(f *linear.Fit) (told bool, err error) {
	if q.mode != nil || q.typed == nil || q.k.Entry.Kind == "plan" || f.N < fewestForSeveral || f.N > mostForSeveral {
		return false, nil
	}
	s := q.k.Analysis.Sample
	var out []int // rows of the series
	odd := 0
	for fit := q.fit; len(out) < min(mostOdd, max(2, f.N/oddShare)); {
		one, err := checks.Oddest(f, doubts.Clear)
		if err != nil || !(one.P < hopeless) {
			break
		}
		out = append(out, fit.Sample.Rows[one.Specimen])
		if one.P < doubts.Clear {
			odd = len(out)
		}
		if fit, f, err = q.scatterWithout(out); err != nil || f == nil {
			break
		}
	}
	if odd < 2 {
		return false, q.k.Context.Err()
	}
	var group []oddOne
	for i, row := range out[:odd] {
		fit, f, err := q.scatterWithout(slices.Delete(slices.Clone(out[:odd]), i, i+1))
		if err != nil || f == nil {
			return false, q.k.Context.Err()
		}
		one, err := checks.Oddest(f, doubts.Clear)
		if err != nil || fit.Sample.Rows[one.Specimen] != row {
			return false, nil
		}
		_, _, unalike := unalike(q.k.Context, f, one.Specimen)
		p, err := checks.OddStill(q.k.Context, f, one, unalike < checks.OtherScale)
		if err != nil || !(p < doubts.Clear) {
			return false, err
		}
		off := f.Residuals[one.Specimen] / (1 - f.Leverage[one.Specimen])
		value := fit.Response[one.Specimen]
		o := oddOne{row, fit.Y.Level(value), fit.Y.Level(value - off), math.Abs(off / one.Deleted)}
		if fit.Y.Logged() {
			o.sd *= o.expected
		}
		group = append(group, o)
	}
	now, err := q.without(out[:odd])
	if err != nil {
		return false, err
	}
	keys, then := q.ownWay().moved(now, nil, nil)
	if len(keys) == 0 {
		return false, nil
	}
	slices.SortFunc(group, func(a, b oddOne) int { return a.row - b.row })
	var names []string
	var each page.Sentence
	for i, g := range group {
		names = append(names, s.Whole.SpecimenName(g.row))
		between := ", "
		switch i {
		case 0:
			between = ""
		case len(group) - 1:
			between = " and "
		}
		u := q.fit.Y.LevelUnit()
		each = append(each, page.Say(between+names[i]+" (", page.In(g.value, u), " where about ",
			page.Num{Value: g.expected, Unit: u, Resolution: g.sd}, page.Word(" is expected)"))...)
	}
	text := append(page.Say("specimens "), append(each, page.Word(" lie far from the rest, and hide each other. "+
		"Without them: "))...)
	then.Gap.Answer = then.Told()
	q.addDoubt(page.Doubt{Code: "odd-specimen", About: session.And(names), Text: say.After(text, then.Finding),
		AnswerThen: q.words(then.Gap), Try: line(q.aside(names, "lie far from the rest")), Of: keys})
	return true, nil
}

// scatterWithout is the fit and its scatter with some rows of the series set aside; nil where nothing scatters.
func (q *inquiry) scatterWithout(rows []int) (*fitted.Fit, *linear.Fit, error) {
	fit, err := fitted.OfCommand(q.k.Quiet(q.withoutRows(rows), phrase.CommandOf(q.typed), []bool{}))
	if err != nil {
		return nil, nil, err
	}
	sub := *q
	sub.fit = fit
	f, ok := sub.scatter()
	if !ok {
		return nil, nil, nil
	}
	return fit, f, nil
}

// ownWay is the inquiry where a remedy is the command itself on other specimens: its answers are by the same method.
func (q *inquiry) ownWay() *inquiry {
	own := *q
	own.plainAnswers = func() []session.Answer { return nil }
	return &own
}
