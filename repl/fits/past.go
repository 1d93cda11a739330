package fits

import (
	"math"
	"reflect"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
	"breakbook/repl/session/past"
)

// before tells an answer as it was without some of the series.
func before(which string, finding page.Sentence) page.Sentence {
	earlier := slices.Clone(finding)
	for i, part := range earlier {
		if v, ok := part.(page.Verdict); ok { // which no doubt about the answer of all is about
			earlier[i] = page.Verdict{Words: v.Words}
		}
	}
	return say.After(page.Say(which+": "), earlier)
}

// noAnswerBefore says that some of the series tell nothing by themselves.
func noAnswerBefore(which string) page.Sentence {
	return page.Say(which + ": too few specimens for an answer of its own.")
}

// beforeRow is one answer by some of the series, or by all.
type beforeRow struct {
	Of         string        `id:"of"`
	Series     string        `id:"series"`
	N          int           `id:"n"`
	Difference page.Quantity `id:"difference" unit:"{y}" difference:"yes"`
	Low        page.Quantity `id:"low" unit:"{y}" difference:"yes"`
	High       page.Quantity `id:"high" unit:"{y}" difference:"yes"`
	P          float64       `id:"p" style:"p"`
	Answer     string        `id:"answer"`
}

// fitWithPast fits the series with past ones drawn in: all of them below one another, on the kinds of specimen that
// they share, with the series as one of the terms or, where they are said to differ by so much, as random levels.
func fitWithPast(k *session.Call, cmd *phrase.Fit) (*session.Outcome, error) {
	typed := withBase(k)
	refs := columnsOf(cmd)
	_, frame, err := k.Frame()
	if err != nil {
		return nil, err
	}
	var by []string
	for _, t := range cmd.Terms.List {
		for _, f := range t.Factors {
			name := f.Column.Column
			if c, _ := frame.Column(name); c.Kind != frames.Number && name != frames.SeriesColumn &&
				!slices.Contains(by, name) {
				by = append(by, name)
			}
		}
	}
	now, d, err := past.DrawIn(k, *cmd.Past, cmd.Y.Column, refs, by)
	if err != nil {
		return nil, err
	}
	plain := *cmd
	plain.Past, plain.From = nil, &phrase.Name{Text: d.Series}
	plain.Terms.List = slices.Clone(cmd.Terms.List)
	if cmd.Differ == nil && !slices.ContainsFunc(refs,
		func(c phrase.ColumnRef) bool { return c.Column == frames.SeriesColumn }) {
		plain.Terms.List = append(plain.Terms.List, phrase.TermOf(frames.SeriesColumn))
	}
	if cmd.Blocks != nil { // board 1 of one series is not board 1 of another
		plain.Blocks = &phrase.Blocks{At: cmd.Blocks.At}
		for _, b := range cmd.Blocks.List {
			if len(b.Within) == 0 && b.Column.Column != frames.SeriesColumn {
				b.Within = []phrase.ColumnRef{{Column: frames.SeriesColumn}}
			}
			plain.Blocks.List = append(plain.Blocks.List, b)
		}
	}
	if err := shareKinds(now, d, &plain, cmd.Y, refs, cmd.Past.At); err != nil {
		return nil, err
	}
	plain.For = d.Picking(cmd.For)
	k.Session, k.Command = now.Session, phrase.CommandOf(&plain)
	o, err := Fit(k, &plain)
	if err != nil {
		return nil, err
	}
	o.Keeps.Command = typed
	f, _ := fitted.Of(*o.Keeps)
	alone := func(where phrase.Condition, levels int) ([]session.Answer, int, error) {
		part := plain
		part.For, part.As = where, nil
		if levels < 2 { // no other series to differ from
			part.Terms.List = slices.DeleteFunc(slices.Clone(plain.Terms.List), ofSeries)
			part.Differ = nil
		}
		c := quietCall(k, &part)
		own, err := fitted.OnTerms(c, part.OnTerms, part.FitOptions, part.Resistant)
		if err != nil {
			return nil, 0, k.Context.Err()
		}
		all, err := effectsOver(f, own, c, k.Confidence())
		if err != nil {
			return nil, 0, k.Context.Err()
		}
		var out []session.Answer
		for _, e := range all {
			out = append(out, e.mains...)
		}
		return out, own.N, nil
	}
	var all []answered
	parts := partsOf(d, plain.For)
	parts[1].series = f.Sample.Distinct(k.Context, frames.SeriesColumn) - len(d.Past)
	for _, part := range parts {
		own, n, err := alone(part.where, part.series)
		if err != nil {
			return nil, err
		}
		all = append(all, answered{part.name, own, n})
	}
	tellBefore(k, d, o, append(all, answered{"with " + d.Newest, o.Analysis.Answers, f.N}))
	var said []page.Sentence
	at := 0
	if main := lead(k, o); main != nil {
		at = 1
		for i, part := range parts {
			switch same := sameQuestion(all[i].all, main.Key); {
			case same >= 0:
				said = append(said, before(part.lead+part.name, all[i].all[same].Finding))
			case len(all[i].all) == 0:
				said = append(said, noAnswerBefore(part.lead+part.name))
			}
		}
	}
	said = append(said, pastNotes(d, f)...)
	k.Entry.Findings = slices.Insert(k.Entry.Findings, at, said...)
	return o, nil
}

// part is some of the series, to be asked alone: their number, and what leads to their name.
type part struct {
	name, lead string
	where      phrase.Condition
	series     int
}

// partsOf are the past series, and the newest.
func partsOf(d *past.Drawn, own phrase.Condition) []part {
	return []part{{strings.Join(d.Past, " and ") + " alone", "Before " + d.Newest + ", by ", d.PastOnly(own),
		len(d.Past)}, {d.Newest + " alone", "By ", d.NewestOnly(own), 1}}
}

// quietCall is a call for another command whose entry is not kept.
func quietCall(k *session.Call, do any) *session.Call {
	return &session.Call{Context: k.Context, Session: k.Session, Command: phrase.CommandOf(do), Entry: &page.Entry{},
		Handlers: k.Handlers, Back: []bool{}, WorthFrom: k.WorthFrom}
}

// answered are the answers of some of the series, of n specimens.
type answered struct {
	name string
	all  []session.Answer
	n    int
}

// tellBefore adds the table of the answers before the newest series and with it.
func tellBefore(k *session.Call, d *past.Drawn, o *session.Outcome, parts []answered) {
	var rows []beforeRow
	for _, a := range o.Analysis.Answers {
		if ofSeriesKey(a.Key) {
			continue
		}
		for _, part := range parts {
			if i := slices.IndexFunc(part.all, func(b session.Answer) bool { return b.Key == a.Key }); i >= 0 {
				rows = append(rows, answerRow(a.Key, part.name, part.n, part.all[i].Gap))
			}
		}
	}
	if len(rows) > 0 {
		k.Entry.Tables = append(k.Entry.Tables, page.Filled(page.Table{ID: "before",
			Title: page.Say("Before " + d.Newest + " and with it")}, rows, page.Names{"y": o.Analysis.Response.Unit()}))
	}
}

// droveWithPast asks what drove the response of all series together.
func droveWithPast(k *session.Call, cmd *phrase.Drove) (*session.Outcome, error) {
	typed := withBase(k)
	var refs []phrase.ColumnRef
	if cmd.Among != nil {
		refs = cmd.Among.List
	}
	by, err := kindsAmong(k, cmd, refs)
	if err != nil {
		return nil, err
	}
	now, d, err := past.DrawIn(k, *cmd.Past, cmd.Y.Column, refs, by)
	if err != nil {
		return nil, err
	}
	plain := *cmd
	plain.Past, plain.From = nil, &phrase.Name{Text: d.Series}
	if cmd.Among != nil && cmd.Differ == nil {
		plain.Among = &phrase.Columns{List: append(slices.Clone(refs), phrase.ColumnRef{Column: frames.SeriesColumn}),
			At: cmd.Among.At}
	}
	kinds := lists.Mapped(by, func(name string) phrase.ColumnRef { return phrase.ColumnRef{Column: name} })
	if err := shareKinds(now, d, &plain, cmd.Y, kinds, cmd.Past.At); err != nil {
		return nil, err
	}
	plain.For = d.Picking(cmd.For)
	k.Session, k.Command = now.Session, phrase.CommandOf(&plain)
	o, err := (&drivers{k: k, cmd: &plain, pastDrawnIn: true}).drove()
	if err != nil {
		return nil, err
	}
	o.Keeps.Command = typed
	whole, _ := fitted.Of(*o.Keeps)
	var said []page.Sentence
	var parts []answered
	for _, part := range partsOf(d, plain.For) {
		some := plain
		some.For, some.As = part.where, nil
		if some.Among = cmd.Among; part.series < 2 {
			some.Differ = nil
		}
		c := quietCall(k, &some)
		then, err := (&drivers{k: c, cmd: &some, pastDrawnIn: true, wholeFit: whole}).drove()
		if err := k.Context.Err(); err != nil {
			return nil, err
		}
		if err != nil || len(c.Entry.Findings) == 0 {
			said = append(said, noAnswerBefore(part.lead+part.name))
			continue
		}
		said = append(said, before(part.lead+part.name, c.Entry.Findings[0]))
		parts = append(parts, answered{part.name, then.Analysis.Answers, c.Entry.Specimens.Used})
	}
	tellBefore(k, d, o, append(parts, answered{"with " + d.Newest, o.Analysis.Answers, k.Entry.Specimens.Used}))
	said = append(said, pastNotes(d, whole)...)
	k.Entry.Findings = slices.Insert(k.Entry.Findings, min(1, len(k.Entry.Findings)), said...)
	return o, nil
}

// kindsAmong are the categories that may have driven the response in every one of the series, of those named where
// some are. One of which the series have no level in common, such as the glue that each was made with, tells no kinds
// that they share: it changed with the series.
func kindsAmong(k *session.Call, cmd *phrase.Drove, refs []phrase.ColumnRef) ([]string, error) {
	_, frame, err := k.Frame()
	if err != nil {
		return nil, err
	}
	var by []string
	for _, c := range frame.Columns() {
		named := slices.ContainsFunc(refs, func(r phrase.ColumnRef) bool { return r.Column == c.Name })
		if c.Kind != frames.Category || c.Name == frames.SeriesColumn || cmd.Among != nil && !named ||
			cmd.Among == nil && (!session.IsProperty(c) || session.IsBlock(c)) {
			continue
		}
		everywhere, shared := true, c.Levels
		for _, n := range cmd.Past.List {
			if f, ok := k.Session.Frame(n.Text); ok {
				then, there := f.Column(c.Name)
				everywhere = everywhere && there && then.Kind == frames.Category
				shared = lists.Where(shared, func(l string) bool { return slices.Contains(then.Levels, l) })
			}
		}
		if everywhere && (named || len(shared) > 0) {
			by = append(by, c.Name)
		}
	}
	return by, nil
}

// pastNotes tells what the series are said to differ by, and which of them and of their specimens took part.
func pastNotes(d *past.Drawn, f *fitted.Fit) []page.Sentence {
	var out []page.Sentence
	if f.Method.Differ != nil {
		out = append(out, page.Say("Series are taken to differ by ", page.Difference(f.Method.Known, f.Y.Unit()),
			" (sd), as you say: ", len(d.Past)+1, " of them cannot tell it."))
	}
	out = append(out, page.Say("Drawn in: "+session.Listed(d.Past)+" below "+d.Newest+", kept as the series "+d.Series+
		"."))
	if d.LeftOut > 0 {
		out = append(out, page.Say("Only the kinds that every series holds (by "+strings.Join(d.By, " and ")+
			") take part: "+say.ShortList(d.Shared)+"; ", d.LeftOut, say.Plural(d.LeftOut, " specimen", " specimens")+
			" of other kinds ("+say.ShortList(d.OtherKinds)+say.Plural(d.LeftOut, ") is", ") are")+" left out."))
	}
	return out
}

// withBase is the command as it was typed, with the series it is about, so that it is the same one once more.
func withBase(k *session.Call) *phrase.Command {
	typed := k.Command.Copy()
	name := k.Session.Current()
	if own := typed.Clauses().From; own != nil {
		name = own.Text
	}
	typed.Clauses().From = &phrase.Name{Text: name}
	return typed
}

// columnsOf are the columns that a fit needs beside its response, each once.
func columnsOf(cmd *phrase.Fit) []phrase.ColumnRef {
	var out []phrase.ColumnRef
	add := func(c phrase.ColumnRef) {
		if !slices.ContainsFunc(out, func(o phrase.ColumnRef) bool { return o.Column == c.Column }) {
			out = append(out, c)
		}
	}
	for _, t := range cmd.Terms.List {
		for _, f := range t.Factors {
			add(f.Column)
		}
	}
	if cmd.Weight != nil {
		add(*cmd.Weight)
	}
	if cmd.Blocks != nil {
		for _, b := range cmd.Blocks.List {
			for _, c := range append([]phrase.ColumnRef{b.Column}, b.Within...) {
				add(c)
			}
		}
	}
	return out
}

// shareKinds finds the kinds that the series share among the specimens that a command would use.
func shareKinds(now *session.Call, d *past.Drawn, do any, y phrase.Response, refs []phrase.ColumnRef, at int) error {
	if len(d.By) == 0 {
		return nil
	}
	quiet := *now
	quiet.Command, quiet.Entry, quiet.Taken = phrase.CommandOf(do), &page.Entry{}, nil
	columns := []string{y.Column.Column, frames.SeriesColumn}
	for _, c := range refs {
		columns = append(columns, c.Column)
	}
	s, err := quiet.Sample(columns...)
	if err != nil {
		return err
	}
	return d.Share(&quiet, s, at)
}

// ofSeries reports whether a term is of the series alone or together with others.
func ofSeries(t phrase.Term) bool {
	return slices.ContainsFunc(t.Factors, func(f phrase.Factor) bool { return f.Column.Column == frames.SeriesColumn })
}

// ofSeriesKey reports whether an answer is about how the series differ.
func ofSeriesKey(key string) bool { return strings.HasPrefix(key, frames.SeriesColumn+":") }

// lead puts the first answer about the levels of a factor, else the first answer that is not about the series, before
// the others; nil where there is none.
func lead(k *session.Call, o *session.Outcome) *session.Answer {
	var main *session.Answer
	for i := range o.Analysis.Answers {
		a := &o.Analysis.Answers[i]
		if ofSeriesKey(a.Key) || main != nil && (ofLevels(main.Key) || !ofLevels(a.Key)) {
			continue
		}
		main = a
	}
	if main == nil {
		return nil
	}
	at := slices.IndexFunc(k.Entry.Findings, func(f page.Sentence) bool { return reflect.DeepEqual(f, main.Finding) })
	if at < 0 { // of several levels another pair is told, or within a setting
		return nil
	}
	k.Entry.Findings = slices.Insert(slices.Delete(k.Entry.Findings, at, at+1), 0, main.Finding)
	return main
}

// ofLevels reports whether an answer is about two levels of one factor.
func ofLevels(key string) bool { return strings.Contains(key, ": ") && !strings.Contains(key, " × ") }

// sameQuestion is the answer with a key, else the first one that is about the same levels within other settings; -1
// where there is none.
func sameQuestion(all []session.Answer, key string) int {
	if i := slices.IndexFunc(all, func(a session.Answer) bool { return a.Key == key }); i >= 0 {
		return i
	}
	of, _, _ := strings.Cut(key, "; ")
	return slices.IndexFunc(all, func(a session.Answer) bool {
		levels, _, _ := strings.Cut(a.Key, "; ")
		return levels == of
	})
}

func answerRow(of, series string, n int, g say.Gap) beforeRow {
	q := func(x float64) page.Quantity {
		if g.Style == page.Fraction {
			return page.Quantity{Value: 100 * x, Unit: "percent"}
		}
		return page.Quantity{Value: x}
	}
	if math.IsNaN(g.Value) {
		return beforeRow{Of: of, Series: series, N: n, Difference: q(g.Value), Low: q(g.Value), High: q(g.Value),
			P: math.NaN()}
	}
	return beforeRow{of, series, n, q(g.Value), q(g.Range.Low), q(g.Range.High), g.Probability, g.Answer.Key()}
}
