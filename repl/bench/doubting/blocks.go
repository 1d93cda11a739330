package doubting

import (
	"slices"

	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// codesOf numbers the values of a column; nil where one is missing.
func (q *inquiry) codesOf(column string) []int {
	s := q.k.Analysis.Sample
	if missing, err := s.Frame.MissingIn(column); err != nil || slices.Contains(missing, true) {
		return nil
	}
	return s.BlockCodes(q.k.Context, phrase.BlockRef{Column: phrase.ColumnRef{Column: column}})
}

// levels is the variable of the fit that a category is; -1 where it is none of its.
func (q *inquiry) levels(category string) int {
	return slices.IndexFunc(q.fit.Model().Variables, func(v design.Variable) bool {
		return v.Name == category && v.IsCategory()
	})
}

// differing are the keys of the answers about a column that something differs.
func (q *inquiry) differing(column string) []string {
	return slices.DeleteFunc(q.keysOf(column), func(key string) bool {
		return !slices.ContainsFunc(q.k.Analysis.Answers, func(a session.Answer) bool {
			return a.Key == key && differing(a.Gap.Answer)
		})
	})
}

// ignored are the columns of boards, batches and days that the analysis does not know of.
func (q *inquiry) ignored() []session.BlockCount {
	return q.k.Analysis.Sample.BlockCounts(q.k.Context, q.k.Analysis.Columns)
}

// holds reports whether a doubt of a kind is held.
func (q *inquiry) holds(code string) bool {
	return slices.ContainsFunc(q.found, func(d page.Doubt) bool { return d.Code == code })
}

// oneBlock tells levels that rest on one board or day each: what differs may be the board.
func (q *inquiry) oneBlock() error {
	if q.fit == nil {
		return nil
	}
	for _, b := range q.k.Analysis.Sample.BlockCounts(q.k.Context, nil) {
		codes := q.codesOf(b.Column)
		for _, factor := range q.factors {
			levels := q.codesOf(factor)
			if codes == nil || levels == nil || q.levels(factor) < 0 || factor == b.Column ||
				!doubts.OneBlock(levels, codes) {
				continue
			}
			q.addDoubt(page.Doubt{Code: "one-block", About: b.Column, AnswerThen: verdict.CannotTell.Key(),
				Of: q.keysOf(factor),
				Text: page.Say("every level of "+factor+" rests on one "+b.Column+", so ", b.N, " values of "+b.Column+
					" were compared: cannot tell whether "+factor+" did it or the "+b.Column+
					". More of the same would not help; each level from several would.")})
		}
	}
	return nil
}

// blocks is the answer with boards allowed for, where it changes; where it stays, one line says so.
// Where they cannot all be allowed for at once, the column of the most values is.
func (q *inquiry) blocks() error {
	if q.typed == nil || !q.testable() {
		return nil
	}
	all := q.ignored()
	if len(all) == 0 || q.holds("one-block") {
		return nil
	}
	err := q.allowing(all)
	if err != nil && len(all) > 1 {
		err = q.allowing([]session.BlockCount{finest(all)})
	}
	for _, b := range all {
		if q.known && !q.holds("blocks") {
			q.betweenBlocks(b)
		}
	}
	return err
}

// finest is the column of the most values.
func finest(all []session.BlockCount) session.BlockCount {
	return slices.MaxFunc(all, func(a, b session.BlockCount) int { return a.N - b.N })
}

// betweenBlocks counts by boards where each has one level of a factor: so few are compared that a spread
// between them can be estimated as nothing, or as too little, and the fit that allows for them then takes
// every specimen for one more. What differs by specimens and not by boards is in doubt.
func (q *inquiry) betweenBlocks(block session.BlockCount) {
	codes := q.codesOf(block.Column)
	if f, ok := q.plain(); !ok || len(codes) != f.N {
		return
	}
	for _, factor := range q.factors {
		at, keys := q.levels(factor), q.differing(factor)
		if at < 0 || len(keys) == 0 {
			continue
		}
		levels, ok := q.fit.LevelsOf(q.k.Context, at, fitted.Partners{})
		if !ok {
			continue
		}
		means := map[int]float64{}
		for _, l := range levels.Levels {
			means[l.Level] = l.Estimate.Value
		}
		own := q.fit.Model().Variables[at].Codes
		y := make([]float64, len(codes)) // with what else is in the fit taken off
		for i := range y {
			y[i] = means[own[i]] + q.fit.Residuals[i]
		}
		if p, ok := doubts.BetweenBlocks(y, own, codes, q.fit.SpentBetween(codes, at)); ok && p >= 1-q.k.Confidence() {
			q.addDoubt(countedByBlocks(block, factor, len(codes), p, "every "+block.Column+
				" has one level of "+factor, keys))
			q.allowed = nil
		}
	}
}

// countedByBlocks is the doubt about answers of n specimens that the number of boards does not bear out.
func countedByBlocks(block session.BlockCount, factor string, n int, p float64, why string, keys []string) page.Doubt {
	return page.Doubt{Code: "blocks", About: block.Column, AnswerThen: verdict.CannotTell.Key(), Of: keys,
		Text: page.Say(why+", so ", block.N, " values of "+block.Column+" were compared and not ", n,
			" specimens. Counted so, "+factor+" has ", page.Chance(p), ": cannot tell. More specimens of the same "+
				block.Column+" would not help; more values of it would.")}
}

// allowing runs the analysis once more with blocks.
func (q *inquiry) allowing(list []session.BlockCount) error {
	with := *q.typed.SeriesFixed()
	with.UnevenSpread, with.Resistant = false, false
	with.Blocks = &phrase.Blocks{}
	if q.typed.Blocks != nil {
		with.Blocks.List = slices.Clone(q.typed.Blocks.List)
	}
	about, names := page.Say("allowing for "), ""
	for i, b := range list {
		with.Blocks.List = append(with.Blocks.List, phrase.BlockRef{Column: phrase.ColumnRef{Column: b.Column}})
		if i > 0 {
			about, names = append(about, page.Word(" and ")), names+" and "
		}
		about, names = append(about, page.Say(b.N, " values of "+b.Column)...), names+b.Column
	}
	lines := q.on(&with, "by_"+list[len(list)-1].Column)
	if lines == nil {
		return errNoLine
	}
	ask, even := q, q.unevenly()
	if even { // what even spread alone changes is not laid to the blocks
		evenly := with
		evenly.Blocks = q.typed.Blocks
		asked := *q
		asked.plainAnswers = func() []session.Answer { return q.evenly(&evenly) }
		ask, about = &asked, append(about, page.Word(", and not for uneven spread"))
	}
	keys, then, err := ask.changed(lines, nil, nil)
	if err != nil {
		return err
	}
	if len(keys) == 0 {
		if now, err := q.run(lines, toCompare); err != nil || !q.stay(now) {
			return err // no doubt, and yet no answer that stays: the caution about boards says so
		}
	}
	q.known = true
	switch {
	case len(keys) > 0:
	case even:
		q.allowed = page.Say("Where the levels are taken to scatter alike, allowing for " + names +
			" changes no answer.")
		return nil
	default:
		q.allowed = append(about, page.Word(", the answers stay."))
		q.allowed[0] = page.Word("Allowing for ")
		return nil
	}
	text := append(append(page.Say("specimens of one "+names+" are alike; "), about...), page.Word(": "))
	q.addDoubt(page.Doubt{Code: "blocks", About: names, Text: say.After(text, then.Finding),
		AnswerThen: q.words(then.Gap), Try: line(lines), Of: keys})
	return nil
}

// evenly are the answers of the analysis on another fit with one spread for all levels; none where it cannot be run.
func (q *inquiry) evenly(f *phrase.Fit) []session.Answer {
	list := q.on(f, "plain")
	if len(list) == 0 {
		return nil
	}
	if cmd, ok := list[len(list)-1].(*phrase.Compare); ok {
		cmd.UnevenSpread = false
	}
	all, _ := q.run(list, toCompare)
	return all
}
