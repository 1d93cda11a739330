package doubting

import (
	"slices"
	"strings"

	"breakbook/models/design"
	"breakbook/models/doubts"
	"breakbook/models/lists"
	"breakbook/models/verdict"
	"breakbook/repl/groups"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// codesOf numbers the values of a column; nil where one is missing.
func (q *inquiry) codesOf(column string) []int {
	return q.blockCodes(phrase.BlockRef{Column: phrase.ColumnRef{Column: column}})
}

// blockCodes numbers the blocks; nil where one is missing.
func (q *inquiry) blockCodes(b phrase.BlockRef) []int {
	s := q.k.Analysis.Sample
	if missing, err := s.Frame.MissingIn(b.Column.Column); err != nil || slices.Contains(missing, true) {
		return nil
	}
	return s.BlockCodes(q.k.Context, b)
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

// heldIn are the keys of the answers about which a doubt of a kind is held.
func (q *inquiry) heldIn(code string) (keys []string) {
	for _, d := range q.found {
		if d.Code == code {
			keys = append(keys, d.Of...)
		}
	}
	return keys
}

// allIn reports whether every answer is one that a doubt of a kind is about.
func (q *inquiry) allIn(code string) bool {
	held := q.heldIn(code)
	return len(held) > 0 && !slices.ContainsFunc(q.k.Analysis.Answers, func(a session.Answer) bool {
		return a.Key != groups.LowestLimit && !slices.Contains(held, a.Key)
	})
}

// besides leaves out keys.
func besides(keys, held []string) []string {
	return slices.DeleteFunc(slices.Clone(keys), func(key string) bool { return slices.Contains(held, key) })
}

// oneBlock tells levels that rest on one board or day each: what differs may be the board. One level that does is
// enough, where what it is compared with has no specimen of that board.
func (q *inquiry) oneBlock() error {
	if q.fit == nil {
		return nil
	}
	for _, b := range q.k.Analysis.Sample.BlockCounts(q.k.Context, nil) {
		codes := q.blockCodes(b.Ref)
		for _, factor := range q.factors {
			levels := q.codesOf(factor)
			if codes == nil || levels == nil || q.levels(factor) < 0 || factor == b.Column {
				continue
			}
			pairs := doubts.OneBlock(levels, codes)
			if len(pairs) == 0 {
				continue
			}
			name := map[int]string{}
			for i, l := range levels {
				if name[l] == "" {
					name[l], _ = q.k.Analysis.Sample.Frame.Cell(factor, i)
				}
			}
			var named [][2]string
			var resting []string
			for _, pair := range pairs {
				named = append(named, [2]string{name[pair[0]], name[pair[1]]})
				resting = lists.With(resting, name[pair[0]])
			}
			keys := q.keysOf(factor)
			text := page.Say("every level of "+factor+" rests on one "+b.Column+", so ", b.N, " values of "+b.Column+
				" were compared")
			if len(resting) < len(name) {
				keys = q.ofPairs(factor, named)
				text = page.Say(factor + " " + session.And(resting) + say.Plural(len(resting), " rests", " rest") +
					" on one " + b.Column + say.Plural(len(resting), "", " each") +
					", and what is compared with " + say.Plural(len(resting), "it", "them") + " on others")
			}
			if len(keys) > 0 {
				q.addDoubt(page.Doubt{Code: "one-block", About: b.Column, AnswerThen: verdict.CannotTell.Key(),
					Of: keys, Text: append(text, page.Word(": cannot tell whether "+factor+" did it or the "+b.Column+
						". More of the same would not help; each level from several would."))})
			}
		}
	}
	return nil
}

// ofPairs are the keys of the answers about a category that compare a pair of its levels, in either order; a
// prediction's are all where it is given both.
func (q *inquiry) ofPairs(category string, pairs [][2]string) []string {
	var given []string
	if cmd, ok := q.k.Command.Do.(*phrase.Predict); ok {
		for _, g := range cmd.Given.List {
			for _, v := range g.Values {
				if g.Column.Column == category {
					given = append(given, v.Text)
				}
			}
		}
	}
	return slices.DeleteFunc(q.keysOf(category), func(key string) bool {
		levels, _, _ := strings.Cut(strings.TrimPrefix(key, category+": "), "; ")
		return !slices.ContainsFunc(pairs, func(p [2]string) bool {
			return levels == p[0]+", "+p[1] || levels == p[1]+", "+p[0] ||
				slices.Contains(given, p[0]) && slices.Contains(given, p[1])
		})
	})
}

// blocks is the answer with boards allowed for, where it changes; where it stays, one line says so.
// Where they cannot all be allowed for at once, the column of the most values is.
func (q *inquiry) blocks() error {
	if q.typed == nil || !q.testable() {
		return nil
	}
	all := q.ignored()
	if len(all) == 0 || q.allIn("one-block") {
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
	codes := q.blockCodes(block.Ref)
	if f, ok := q.plain(); !ok || len(codes) != f.N {
		return
	}
	for _, factor := range q.factors {
		at, keys := q.levels(factor), besides(q.differing(factor), q.heldIn("one-block"))
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
		with.Blocks.List = append(with.Blocks.List, b.Ref)
		if i > 0 {
			about, names = append(about, page.Word(" and ")), names+" and "
		}
		about, names = append(about, page.Say(b.N, " values of "+b.Ref.Name())...), names+b.Column
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
	held := q.heldIn("one-block") // no fit tells these
	keys, then, err := ask.changed(lines, nil, func(key string) bool { return !slices.Contains(held, key) })
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
	case len(held) > 0:
		return nil
	case q.ranked():
		q.allowed = page.Say("In a fit of the loads themselves, not of their ranks, allowing for " + names +
			" changes no answer.")
		return nil
	case even:
		q.allowed = page.Say("Where the levels are taken to scatter alike, allowing for " + names +
			" changes no answer.")
		return nil
	default:
		q.recount(lines, names)
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

// recount is how many specimens, or boards, would settle what cannot be told whether boards are allowed for or not,
// where that is boards in place of specimens, or another number by a factor of two: it is told in place of the other.
func (q *inquiry) recount(lines []any, names string) {
	open := func(a session.Answer) bool { return a.Gap.Answer == verdict.CannotTell && !a.Gap.Alone }
	before := q.k.Analysis.Answers
	if !slices.ContainsFunc(before, open) || q.otherMethod() && q.k.Entry.Kind != "same" {
		return
	}
	if q.otherMethod() { // which counts by a rule of its own
		before = q.raw(q.on(q.typed, "plain"))
	}
	now := q.raw(lines)
	q.recounted, q.about = map[string]say.Gap{}, names
	for _, a := range q.k.Analysis.Answers {
		of := func(other session.Answer) bool { return other.Key == a.Key }
		b, n := slices.IndexFunc(before, of), slices.IndexFunc(now, of)
		if b < 0 || n < 0 || !open(a) || !open(before[b]) && !open(now[n]) {
			continue
		}
		was, is := before[b].Gap.Enough, now[n].Gap.Enough
		if was.Block != is.Block || open(before[b]) != open(now[n]) ||
			was.N != is.N && max(was.N, is.N) >= 2*min(was.N, is.N) {
			q.recounted[a.Key] = now[n].Gap
		}
	}
}

// raw are the answers of commands with the numbers that settle them, in the words of the last; nil where they cannot
// be carried out.
func (q *inquiry) raw(list []any) []session.Answer {
	o, _, err := q.carry(list, toTell)
	if err != nil || o.Analysis == nil {
		return nil
	}
	return o.Analysis.Answers
}
