package doubting

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/proofread"
	"breakbook/models/checks"
	"breakbook/models/compare"
	"breakbook/models/doubts"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/groups"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"

	"gonum.org/v1/gonum/stat"
)

// oddSpecimen tells the specimens that lie further from the rest than one in a hundred series
// has any, where the answer hangs on them: several that hide each other before one.
func (q *inquiry) oddSpecimen() error {
	f, ok := q.scatter()
	if _, odds := q.k.Command.Do.(*phrase.Odds); !ok || odds { // broke so or not lies nowhere
		return nil
	}
	if told, err := q.oddTogether(f); told || err != nil {
		return err
	}
	odd, err := checks.Oddest(f, doubts.Clear)
	if err != nil || !(odd.P < doubts.Clear) {
		return nil
	}
	_, _, unalike := unalike(q.k.Context, f, odd.Specimen)
	odd.P, err = checks.OddStill(q.k.Context, f, odd, unalike < checks.OtherScale)
	if err != nil || !(odd.P < doubts.Clear) {
		return err
	}
	s := q.fit.Sample
	row := s.Rows[odd.Specimen]
	now, err := q.without([]int{row})
	if err != nil {
		return err
	}
	keys, then := q.ownWay().moved(now, nil, nil)
	if len(keys) == 0 {
		return nil
	}
	name := s.Whole.SpecimenName(row)
	h := f.Leverage[odd.Specimen]
	value := q.fit.Response[odd.Specimen]
	expected := value - f.Residuals[odd.Specimen]/(1-h) // by the other specimens
	sd := math.Abs(f.Residuals[odd.Specimen]/(1-h)) / math.Abs(odd.Deleted)
	u := q.fit.Y.Unit()
	if q.mode != nil { // the load itself, of its logarithm
		value, expected = math.Exp(value), math.Exp(expected)
		sd, u = sd*expected, q.fit.Y.Column.Unit.String()
	}
	text := page.Say("specimen "+name+" (", page.In(value, u),
		") lies far from what the others let expect (",
		page.Num{Value: expected, Unit: u, Resolution: sd}, ", ", page.Chance(odd.P), ")")
	reason := "lies far from the rest"
	if slips := doubts.Slips(value, expected, sd); len(slips) > 0 && (q.mode != nil || q.fit.Y.Plain()) {
		text = append(text, page.Word(", "+slipWords(slips)))
		reason = "looks like a slip"
	}
	text = say.After(append(text, page.Word(". Without it: ")), then.Finding)
	then.Gap.Answer = then.Told()
	list := q.aside([]string{name}, reason)
	q.addDoubt(page.Doubt{Code: "odd-specimen", About: name, Text: text, AnswerThen: q.words(then.Gap),
		Try: line(list), Of: keys})
	return nil
}

// slipWords say what an odd value looks like.
func slipWords(all []doubts.Slip) string {
	var out []string
	for _, s := range all {
		times := strconv.FormatFloat(s.Ratio, 'g', 3, 64)
		slip := map[float64]string{9.80665: "kgf and N taken for each other",
			4.4482216: "lbf and N taken for each other", 2.2046226: "kg and lb taken for each other"}[s.Ratio]
		if slip == "" {
			times, slip = strconv.FormatFloat(s.Ratio, 'f', 0, 64), "a slipped digit or decimal point"
		}
		if s.Inverse {
			out = append(out, "as if divided by "+times+" ("+slip+")")
			continue
		}
		out = append(out, "as if "+times+" times too large ("+slip+")")
	}
	return strings.Join(out, " or ")
}

// aside is the analysis once more with specimens set aside, as a person types it.
func (q *inquiry) aside(names []string, reason string) []any {
	which := phrase.Which{}
	for _, n := range names {
		which.Specimens = append(which.Specimens, phrase.Text{Text: n})
	}
	out := []any{&phrase.SetAside{Which: which, Reason: phrase.Text{Text: reason}}}
	if q.asksFit() && q.typed != nil {
		return append(out, q.on(q.typed, "without_"+plainWord(names[0]))...)
	}
	c := q.k.Command.Copy()
	c.Clauses().As = nil
	return append(out, c.Do)
}

// asksFit reports whether the command asks something of an earlier fit.
func (q *inquiry) asksFit() bool {
	_, ok := phrase.Facet[phrase.OnFit](q.k.Command)
	if cmd, plan := q.k.Command.Do.(*phrase.Plan); plan {
		of, means := cmd.Subject.(phrase.PlanMeans)
		ok = means && of.Fit != nil
	}
	return ok
}

// plainWord is a text as part of a name.
func plainWord(s string) string { return notation.PlainName(s) }

// leastAlike is how many specimens without a name in common must be alike before they are taken to be the same ones:
// where the columns are few, one may well be alike by chance. Common practice, no source.
const leastAlike = 3

// repeated tells specimens that were entered more than once: rows with the same name that are alike in every column,
// or, of two series, in every column that all series have; and rows without a name in common that proofreading finds.
func (q *inquiry) repeated() error {
	s := q.k.Analysis.Sample
	names := nameColumn(s)
	var again []int
	whole := q.firstAlike(s.Frame.Columns())
	for i, first := range whole {
		if first < i && names != "" {
			again = append(again, i)
		}
	}
	if len(again) == 0 {
		again = q.enteredAgain()
	}
	if series, err := s.Frame.Codes(q.k.Context, frames.SeriesColumn); err == nil {
		var across []int
		shared := inEverySeries(q.k.Context, s.Frame, series)
		named := slices.ContainsFunc(shared, func(c frames.Column) bool { return c.Name == names })
		for i, first := range q.firstAlike(shared) {
			if named && series[first] != series[i] && whole[i] == i {
				across = append(across, i)
			}
		}
		if len(across) >= leastAlike {
			again = append(again, across...)
			slices.Sort(again)
		}
	}
	var said []string
	for n, i := range again {
		again[n] = s.Rows[i]
		name, ok := s.Frame.Cell(names, i)
		if !ok {
			name = "row " + s.Whole.SpecimenName(s.Rows[i])
		}
		if !slices.Contains(said, name) && len(said) < 5 {
			said = append(said, name)
		}
	}
	if len(again) == 0 {
		return nil
	}
	more := ""
	if len(said) < len(again) {
		more = ", …"
	}
	d := page.Doubt{Code: "repeated", About: cmp.Or(names, "rows"), Of: q.keysOf(""),
		Text: page.Say(len(again), " "+say.Plural(len(again), "row repeats", "rows repeat")+
			" a specimen that is entered already ("+strings.Join(said, ", ")+more+
			"): the same break counted twice proves nothing more. ")}
	if now, err := q.without(again); err == nil {
		if i := slices.IndexFunc(now, func(a session.Answer) bool { return a.Key == d.Of[0] }); i >= 0 {
			d.Text = say.After(append(d.Text, page.Word("Each counted once: ")), now[i].Finding)
			if d.Of[0] != groups.LowestLimit {
				d.AnswerThen = q.words(now[i].Gap)
			}
		}
	}
	q.addDoubt(d)
	return nil
}

// enteredAgain are the specimens that repeat one before them under another name, or under none.
func (q *inquiry) enteredAgain() (again []int) {
	s := q.k.Analysis.Sample
	all, err := proofread.Twice(q.k.Context, s.Whole, proofread.Options{Quick: true})
	parallel.Heed(err)
	if len(all) < leastAlike {
		return nil
	}
	for _, r := range all {
		first := -1
		for _, row := range r.Rows {
			i, used := slices.BinarySearch(s.Rows, row)
			switch {
			case used && first >= 0:
				again = append(again, i)
			case used:
				first = i
			}
		}
	}
	slices.Sort(again)
	return again
}

// firstAlike is for every specimen of the sample the first one that is the same in these columns.
func (q *inquiry) firstAlike(columns []frames.Column) []int {
	f := q.k.Analysis.Sample.Frame
	first, met := make([]int, f.Len()), map[string]int{}
	for i := range first {
		parallel.LookAt(q.k.Context, i)
		var key strings.Builder
		for _, c := range columns {
			text, _ := f.Cell(c.Name, i)
			key.WriteString(text)
			key.WriteByte(0)
		}
		if _, ok := met[key.String()]; !ok {
			met[key.String()] = i
		}
		first[i] = met[key.String()]
	}
	return first
}

// inEverySeries are the columns that every series filled in, but for the one that tells the series; which series a
// specimen is of is given as a code.
func inEverySeries(ctx context.Context, f *frames.Frame, series []int) []frames.Column {
	return slices.DeleteFunc(f.Columns(), func(c frames.Column) bool {
		filled := map[int]bool{}
		for i, code := range series {
			parallel.LookAt(ctx, i)
			_, ok := f.Cell(c.Name, i)
			filled[code] = filled[code] || ok
		}
		return c.Name == frames.SeriesColumn || slices.Contains(slices.Collect(maps.Values(filled)), false)
	})
}

// nameColumn is the column of specimen names: the one marked so, else the first column of names by
// its own name.
func nameColumn(s *session.Sample) string {
	if c, ok := s.Frame.RoleColumn(frames.Specimen); ok {
		return c.Name
	}
	for _, c := range s.Frame.Columns() {
		if c.Role == frames.NoRole && namesSpecimens(c.Name) {
			return c.Name
		}
	}
	return ""
}

// namesSpecimens reports whether a column's name says that it holds the names of specimens.
func namesSpecimens(name string) bool {
	return slices.ContainsFunc(strings.Split(name, "_"), func(word string) bool {
		return slices.Contains([]string{"specimen", "id", "name", "no", "nr", "sample", "piece", "blank",
			"joint"}, word)
	})
}

// single tells levels of one specimen.
func (q *inquiry) single() error {
	if q.fit == nil {
		return nil
	}
	for _, v := range q.fit.Model().Variables {
		if !v.IsCategory() || !slices.Contains(q.factors, v.Name) {
			continue
		}
		n := make([]int, len(v.Levels))
		for _, code := range v.Codes {
			n[code]++
		}
		var alone []string
		for level, count := range n {
			if count == 1 {
				alone = append(alone, v.Levels[level])
			}
		}
		if len(alone) == 0 {
			continue
		}
		var keys []string
		for _, key := range q.keysOf(v.Name) {
			_, pair, _ := strings.Cut(key, ": ")
			for _, level := range alone {
				if strings.HasPrefix(pair, level+", ") || strings.HasSuffix(pair, ", "+level) {
					keys = append(keys, key)
				}
			}
		}
		q.addDoubt(page.Doubt{Code: "single", About: v.Name + " " + strings.Join(alone, ", "), Of: keys,
			Text: page.Say(v.Name + " " + strings.Join(alone, ", ") + " is one specimen" +
				say.Plural(len(alone), "", " each") +
				": whether it is a usual one, only another break can tell; its scatter is taken from the other " +
				"levels.")})
	}
	return nil
}

// fewResidualDF tells a fit with little to judge its scatter by.
func (q *inquiry) fewResidualDF() error {
	if q.fit == nil || q.fit.DF >= leastDF || !(q.fit.DF > 0) || q.fit.Method.Blocks != nil {
		return nil
	}
	q.addDoubt(page.Doubt{Code: "few-left", About: "scatter", Of: q.keysOf(""), Text: page.Say("only ",
		page.Num{Value: q.fit.DF, Style: page.DF}, " more specimen"+say.Plural(int(q.fit.DF), "", "s")+
			" than figures fitted: the scatter is hardly known, and with it every interval here.")})
	return nil
}

// unevenly reports whether the analysis lets each level scatter in its own way.
func (q *inquiry) unevenly() bool {
	cmd, compared := q.k.Command.Do.(*phrase.Compare)
	return q.fit != nil && q.fit.Method.Uneven || compared && cmd.UnevenSpread
}

// unevenSpread asks whether the levels scatter alike, by Brown and Forsythe's test or by the
// ratio of their spreads, where the answer changes once they need not. No fit allows for that and for blocks:
// an answer that knows of blocks is compared with one that knows of the spread alone.
func (q *inquiry) unevenSpread() error {
	f, ok := q.alikeScattered()
	if !ok || q.unevenly() || slices.Contains([]string{"same", "characteristic"}, q.k.Entry.Kind) {
		return nil // or each level keeps its own spread
	}
	low, high, p := unalike(q.k.Context, f, -1)
	if !(p < doubts.Clear) {
		return nil
	}
	list, allowing := q.uneven(), "). Allowing for that: "
	cmd, plan := q.k.Command.Do.(*phrase.Plan)
	switch blocks := session.Listed(lists.Mapped(q.fit.Method.Blocks, phrase.BlockRef.Name)); {
	case blocks != "" && plan:
		return nil // a plan by a spread alone would count every specimen as if it stood for itself
	case blocks != "":
		allowing = "), which no fit here allows for together with " + blocks + ". Allowing for that and not for " +
			blocks + ": "
	case plan:
		list, allowing = planLargest(cmd, q.fit.Y, high), "). With the larger spread for all: "
	}
	if list == nil {
		return nil
	}
	keys, then, err := q.changed(list, nil, nil)
	if err != nil || len(keys) == 0 {
		return err
	}
	text := page.Say("the levels do not scatter alike (sd ", page.Span{Low: low, High: high,
		Unit: page.DifferenceUnit(q.fit.Y.Unit())}, ", ", page.Chance(p), allowing)
	q.addDoubt(page.Doubt{Code: "uneven-spread", About: "spread", Text: say.After(text, then.Finding),
		AnswerThen: q.words(then.Gap), Try: line(list), Of: keys})
	return nil
}

// unalike are the smallest and the largest sd of the levels of the category that scatter least alike, but for one
// specimen, with the probability of that adjusted for all categories; -1 for all specimens. NaN where nothing tells.
func unalike(ctx context.Context, f *linear.Fit, without int) (smallest, largest, chance float64) {
	var p, low, high []float64
	for _, v := range f.Matrix.Model.Variables {
		if !v.IsCategory() {
			continue
		}
		residuals := make([][]float64, len(v.Levels))
		for i, code := range v.Codes {
			if w := f.Weight(i); w > 0 && i != without {
				residuals[code] = append(residuals[code], math.Sqrt(w)*f.Residuals[i])
			}
		}
		residuals = slices.DeleteFunc(residuals, func(level []float64) bool { return len(level) < 2 })
		if len(residuals) < 2 {
			continue
		}
		sd, df := make([]float64, len(residuals)), make([]float64, len(residuals))
		for i, level := range residuals {
			sd[i], df[i] = stat.StdDev(level, nil), float64(len(level)-1)
		}
		if o, err := compare.BrownForsythe(ctx, residuals); err == nil {
			p, low, high = append(p, o.P), append(low, slices.Min(sd)), append(high, slices.Max(sd))
		}
		p, low, high = append(p, doubts.Spreads(sd, df)), append(low, slices.Min(sd)), append(high, slices.Max(sd))
	}
	smallest, largest, chance = math.NaN(), math.NaN(), math.NaN()
	for i, x := range doubts.Holm(p) {
		if x < chance || math.IsNaN(chance) {
			smallest, largest, chance = low[i], high[i], x
		}
	}
	return smallest, largest, chance
}

// uneven is the analysis once more where each level may scatter in its own way, without blocks.
func (q *inquiry) uneven() []any {
	switch cmd := q.k.Command.Do.(type) {
	case *phrase.Compare:
		if q.fit.Method.Blocks != nil {
			break
		}
		again := *cmd
		again.As, again.UnevenSpread, again.Ranked, again.Reshuffled, again.Times = nil, true, false, false, nil
		return []any{&again}
	case *phrase.Average:
		if cmd.B == nil {
			return []any{&phrase.Compare{Clauses: q.k.Scope(), Subject: cmd.ByLevels, UnevenSpread: true}}
		}
		return nil
	}
	if q.typed == nil {
		return nil
	}
	again := *q.typed.SeriesFixed()
	again.Blocks, again.UnevenSpread = nil, true
	return q.on(&again, "uneven")
}
