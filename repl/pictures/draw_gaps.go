package pictures

import (
	"math"
	"slices"
	"strings"

	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// mostRows is how many differences a picture has room for; the smallest of more are left out and counted.
const mostRows = 45

// DrawGaps shows the differences of an answer, a row each, beside zero and the sizes not worth having.
func DrawGaps(k *session.Call, cmd *phrase.DrawGaps) (*session.Outcome, error) {
	r, ok := k.Session.Result(cmd.Gaps.Text)
	if !ok || r.Gaps == nil {
		return nil, page.Refuse(page.CodeUnknownResult, cmd.Gaps.At, "there are no differences named "+cmd.Gaps.Text,
			"show results")
	}
	k.Entry.Series = r.Series
	g := r.Gaps
	rows := g.InOrder()
	if len(rows) == 0 {
		return nil, page.Refuse(page.CodeNoDifferences, cmd.Gaps.At, cmd.Gaps.Text+" has no difference to draw", "")
	}
	fig, err := k.Picture(gapsTitle(k, r.Series, g), cmd.Picture)
	if err != nil {
		return nil, err
	}
	if cmd.Titled == nil {
		fig.Says = headline(k, r.Series, g)
	}
	measure, rowsAre := g.Calls(g.Of), "Factor"
	fig.Lying, fig.Y = true, page.Axis{Label: "How much higher " + measure + " is with the first named", Unit: g.Unit}
	switch {
	case g.Means:
		fig.Y.Label, rowsAre = say.Capital(measure), say.Capital(called(k, r.Series, g.Series))
	case g.Factor != "":
		rowsAre = say.Capital(called(k, r.Series, g.Factor))
	}
	fig.X = page.Axis{Label: rowsAre}
	leftOut := max(0, len(rows)-mostRows)
	rows = rows[:len(rows)-leftOut]
	if cmd.Size == nil {
		fig.WidthMM, fig.HeightMM = 160, min(300, max(60, 42+float64(rowHeight(rows)*len(rows))))
	}
	fig.Layers = measuringStick(g)
	for i, row := range rows {
		label := row.Label(byHeader(k, r.Series))
		fig.X.Levels, fig.X.Names = append(fig.X.Levels, plainWords(label)), append(fig.X.Names, label)
		fig.Layers = append(fig.Layers, rowMark(i, row, doubtOf(r, row) != ""))
	}
	fig.Alt = gapsAlt(r, rows, fig)
	fig.Note = gapsNote(g, leftOut)
	return k.Drawn(fig)
}

// rowHeight is how many millimetres a row takes whose name may need two lines.
func rowHeight(rows []session.GapRow) int {
	for _, r := range rows {
		if len([]rune(plainWords(r.Label(func(name string) string { return name })))) > longLabel {
			return 9
		}
	}
	return 7
}

// longLabel is how many letters of a row's name surely fit on one line.
const longLabel = 34

// longName is how many letters of a level's name still read on behind its column.
const longName = 16

// plainWords are the words of a sentence without its numbers.
func plainWords(s page.Sentence) string {
	var b strings.Builder
	for _, part := range s {
		if w, ok := part.(page.Word); ok {
			b.WriteString(string(w))
		}
	}
	return b.String()
}

// doubtOf is what the answer of a row is in doubt about, as words behind it; "" where it is not.
func doubtOf(r session.Result, row session.GapRow) string {
	for _, d := range r.Doubts {
		if row.Key != "" && slices.Contains(d.Of, row.Key) {
			return " (in doubt: " + d.About + ")"
		}
	}
	return ""
}

// rowMark is a difference on its row, with its answer in words.
func rowMark(i int, row session.GapRow, doubted bool) page.Interval {
	v := page.Interval{X: float64(i), Mean: row.Value, Low: row.Range.Low, High: row.Range.High}
	if math.IsNaN(v.Low) || math.IsNaN(v.High) {
		v.Low, v.High = row.Value, row.Value
	}
	if row.HasAnswer {
		if v.Words = row.Answer.Key(); doubted {
			v.Words += " (in doubt)" // the line under the title names what is doubted
		}
		v.Held = map[verdict.Answer]page.Held{verdict.Differs: page.Differs,
			verdict.DiffersLessThanWorth: page.DiffersLess, verdict.NoDifferenceWorth: page.NothingWorth,
			verdict.CannotTell: page.CannotTell}[row.Answer]
	}
	return v
}

// measuringStick is what the rows are held against: zero with the sizes not worth having, or, of means, what
// all say together.
func measuringStick(g *session.Gaps) []page.Layer {
	if g.Means {
		return []page.Layer{page.Rule{Y: g.Joint}}
	}
	zero := page.Rule{Y: 0, Bold: true}
	if w := g.Worth.Value; w > 0 {
		return []page.Layer{page.Zone{Low: -w, High: w, Label: "not worth having"}, zero}
	}
	return []page.Layer{zero}
}

// called is a column in a sentence, by its header.
func called(k *session.Call, series, name string) string {
	if c, ok := k.Session.Column(series, name); ok {
		return session.InSentence(c)
	}
	return name
}

// byHeader calls the columns of a series by their headers.
func byHeader(k *session.Call, series string) func(string) string {
	return func(name string) string { return called(k, series, name) }
}

// gapsTitle names the picture.
func gapsTitle(k *session.Call, series string, g *session.Gaps) string {
	measure := g.Calls(g.Of)
	switch {
	case g.Modes:
		return "What drove " + session.InSentence(g.Of)
	case g.Drove:
		return "What drove " + measure
	case g.Series != "":
		return say.Capital(measure) + ", series by series"
	case g.Factor != "":
		return say.Capital(measure) + " by " + called(k, series, g.Factor)
	}
	return say.Capital(measure)
}

// headline is the finding as a title: the largest difference that there is, or that there is none.
func headline(k *session.Call, series string, g *session.Gaps) page.Sentence {
	if g.Means {
		return nil
	}
	var lead *session.GapRow
	answers := make([]verdict.Answer, 0, len(g.Rows))
	for i, row := range g.Rows {
		if !row.HasAnswer {
			continue
		}
		answers = append(answers, row.Answer)
		if row.Answer == verdict.Differs && (lead == nil || !g.Drove && math.Abs(row.Value) > math.Abs(lead.Value)) {
			lead = &g.Rows[i]
		}
	}
	title := gapsTitle(k, series, g)
	if lead == nil {
		switch say.Overall(answers) {
		case verdict.NoDifferenceWorth, verdict.DiffersLessThanWorth:
			return page.Say(title + ": no difference worth having")
		case verdict.CannotTell:
			return page.Say(title + ": no difference can be told")
		}
		return page.Say(title)
	}
	word := " more than "
	if lead.Value < 0 {
		word = " less than "
	}
	size := page.Num{Value: math.Abs(lead.Value), Unit: g.Unit, Resolution: g.Worth.Value}
	if lead.Range.Known() {
		size.Resolution = (lead.Range.High - lead.Range.Low) / 2
	}
	between := ": "
	with := plainWords(lead.With)
	if len([]rune(with)) > longName {
		between = ", "
	}
	difference := page.Say(between, size, word, lead.Than, page.If(lead.Where != "" && g.Series == "", ", "+lead.Where))
	of := lead.Of(byHeader(k, series))
	switch {
	case g.Drove:
		return page.Say(title+": "+of+" (", lead.With, difference, ")")
	case of == "" && g.Factor != "":
		of = called(k, series, g.Factor)
	}
	switch {
	case of == "":
		return page.Say(title+", ", lead.With, difference)
	case strings.HasPrefix(strings.ToLower(with), strings.ToLower(of)):
		return page.Say(say.Capital(with), difference)
	case between == ", ":
		return page.Say(say.Capital(of)+": ", lead.With, difference)
	}
	return page.Say(say.Capital(of)+" ", lead.With, difference)
}

// gapsNote says what marks, bars and the shaded band are, and what is not on the picture.
func gapsNote(g *session.Gaps, leftOut int) page.Sentence {
	what := "difference"
	if g.Means {
		what = "mean"
	}
	s := say.BarsNote(what, g.Confidence)
	if slices.ContainsFunc(g.Rows, func(r session.GapRow) bool { return math.IsNaN(r.Range.Low) }) {
		s = page.Say("Mark: the difference; judged by reshuffling or ranks, which give no interval here")
	}
	return page.Say(s, shadedNote(g), page.If(g.Means, "; broken line: all together"),
		page.If(g.Drove, "; answers judged for all rows at once (Holm)"), page.If(leftOut > 0, "; ", leftOut,
			say.Plural(leftOut, " smaller difference is", " smaller differences are")+" only in the table"))
}

// shadedNote says how far the shaded band reaches; nil where there is none.
func shadedNote(g *session.Gaps) page.Sentence {
	w := g.Worth.Value
	return page.If(w > 0 && !g.Means, "; shaded: less than ± ", page.Num{Value: w, Unit: g.Unit, Resolution: w},
		", not worth having")
}

// gapsAlt tells what a picture of differences shows.
func gapsAlt(r session.Result, rows []session.GapRow, fig page.Figure) page.Sentence {
	i, g := -1, r.Gaps
	ranged := slices.ContainsFunc(rows, func(row session.GapRow) bool { return row.Range.Known() })
	return page.Say(fig.Title, page.If(ranged, ", each with its ", page.Share(g.Confidence), " interval"), ": ",
		page.Joined(rows, "; ", func(row session.GapRow) page.Sentence {
			i++
			size, known := page.Num{Value: row.Value, Unit: g.Unit, Signed: !g.Means}, row.Range.Known()
			if known {
				size.Resolution = (row.Range.High - row.Range.Low) / 2
			}
			return page.Say(fig.X.Names[i], ", ", size, page.If(known, " (", page.Span{Low: row.Range.Low,
				High: row.Range.High, Unit: g.Unit}, ")"),
				page.If(row.HasAnswer, ": "+row.Answer.Key()+doubtOf(r, row)))
		}), ".")
}
