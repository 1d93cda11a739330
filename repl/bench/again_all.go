package bench

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// mostChanges is how many changed answers are told in a sentence each; the table has all.
const mostChanges = 8

// againAll reads the files of the book anew, runs every entry of it on them, and tells which answers
// changed. The figures are drawn again where they were; the session is then that of the new run, and undo
// goes back to the one before. An entry that no longer works stays in the book as it was, and is told.
func againAll(k *session.Call, cmd *phrase.AgainAll) (*session.Outcome, error) {
	old := k.Session
	entries := old.Entries()
	if len(entries) == 0 {
		return nil, page.Refuse(page.CodeEmptyBook, 0, "the book has no entries yet, so there is nothing to run again",
			"open FILE.csv")
	}
	r := &rerun{k: k, now: old.Afresh(entries[0].Number)}
	for _, e := range entries {
		if err := r.entry(e); err != nil {
			return nil, err
		}
	}
	r.specimens(old)
	r.tell(r.now.Count())
	return session.Becomes(r.now.At(old.Next()).AskedAsOften(old)), nil
}

// rerun is the book on its way once more.
type rerun struct {
	k       *session.Call
	now     *session.Session
	answers int          // that were compared
	changed []changedRow // those that are lost first
	lost    int          // of them, those that are answered no more
	failed  []page.Sentence
	columns []page.Sentence // that are gone, new or in another unit
	moved   []movedRow
}

// changedRow is one answer that is another now.
type changedRow struct {
	Entry   int    `id:"entry"`
	Command string `id:"command"`
	What    string `id:"what"`
	Before  string `id:"before"`
	Now     string `id:"now"`
}

// movedRow is a specimen that is new, or gone.
type movedRow struct {
	Series   string `id:"series"`
	Specimen string `id:"specimen"`
	Change   string `id:"change"`
}

// againValues count what became of the book.
type againValues struct {
	Entries int `id:"entries"`
	Answers int `id:"answers" label:"answers compared"`
	Changed int `id:"changed"`
	Lost    int `id:"lost" label:"answers that are lost"`
	New     int `id:"new" label:"specimens that are new"`
	Gone    int `id:"gone" label:"specimens that are gone"`
	Failed  int `id:"failed" label:"entries that no longer work"`
}

// entry runs one entry again; one that no longer works stays as it was. The error is that of the context.
func (r *rerun) entry(was page.Entry) error {
	if was.Kind == "again all" { // this one is enough
		return nil
	}
	r.now = r.now.At(was.Number)
	c, err := parser.Parse(phrase.Piece{Text: was.Input, At: 1}, r.now)
	var next *session.Session
	var is page.Entry
	if err == nil {
		for i, f := range c.Files {
			read := func(w page.File) bool { return w.At == f.At && !w.Written }
			if at := slices.IndexFunc(was.Files, read); at >= 0 {
				c.Files[i].Real = was.Files[at].Path
			}
		}
		next, is, err = runBy(r.k.Context, r.now, c, r.k.Handlers)
	}
	if stopped := r.k.Context.Err(); stopped != nil {
		return stopped
	}
	if err != nil {
		r.failed = append(r.failed, page.Say("Entry ", was.Number, " no longer works ("+was.Input+"): "+
			r.k.Problem(err).Message+"."))
		r.compare(was, page.Entry{})
		r.now = r.now.Booked(was, r.now, true)
		return nil
	}
	is.Files, is.Asks = was.Files, was.Asks
	if len(is.Numbered) != len(is.Cautions) {
		is.Numbered = was.Numbered
	}
	for i := range is.Figures {
		if i < len(was.Figures) {
			is.Figures[i].Path = was.Figures[i].Path
		}
	}
	r.k.Entry.Figures = append(r.k.Entry.Figures, is.Figures...)
	r.now = next.Commit(is)
	r.compare(was, is)
	return nil
}

// lostAnswer stands where an answer was.
const lostAnswer = "no longer answered"

// compare finds the answers of an entry that changed, and those that are lost.
func (r *rerun) compare(was, is page.Entry) {
	now := answersOf(is)
	for _, b := range answersOf(was) {
		r.answers++
		at := slices.IndexFunc(now, func(a answered) bool { return a.what == b.what })
		switch {
		case at < 0:
			row := changedRow{was.Number, was.Input, b.what, b.answer, lostAnswer}
			r.changed = slices.Insert(r.changed, r.lost, row)
			r.lost++
		case b.answer != now[at].answer:
			r.changed = append(r.changed, changedRow{was.Number, was.Input, b.what, b.answer, now[at].answer})
		}
	}
	r.headers(was, is)
}

// headers finds the columns of a file that are gone, new or in another unit than they were.
func (r *rerun) headers(was, is page.Entry) {
	if was.Kind != "open" || is.Kind != "open" {
		return
	}
	before, now := unitsOf(was), unitsOf(is)
	var gone []string
	for _, c := range before {
		at := slices.IndexFunc(now, func(n [2]string) bool { return n[0] == c[0] })
		if at < 0 {
			gone = append(gone, c[0])
			continue
		}
		if unit := now[at][1]; unit != c[1] {
			r.columns = append(r.columns, page.Say("The unit of "+c[0]+" in "+is.Series+" was ", unitSaid(c[1]),
				" and is ", unitSaid(unit), ": see that amounts typed without a unit mean what they did."))
		}
		now = slices.Delete(now, at, at+1)
	}
	fresh := lists.Mapped(now, func(n [2]string) string { return n[0] })
	if len(gone) > 0 {
		r.columns = append(r.columns, page.Say("Columns gone from "+is.Series+": "+strings.Join(gone, ", ")+"."))
	}
	if len(fresh) > 0 {
		r.columns = append(r.columns, page.Say("Columns new in "+is.Series+": "+strings.Join(fresh, ", ")+"."))
	}
}

// unitsOf are the columns of a file that was opened, each with its unit.
func unitsOf(e page.Entry) (out [][2]string) {
	for _, t := range e.Tables {
		name := slices.IndexFunc(t.Columns, func(c page.Column) bool { return c.ID == "column" })
		unit := slices.IndexFunc(t.Columns, func(c page.Column) bool { return c.ID == "unit" })
		for _, row := range t.Rows {
			if name >= 0 && unit >= 0 {
				out = append(out, [2]string{row[name].Text, row[unit].Text})
			}
		}
	}
	return out
}

func unitSaid(u string) page.Part {
	if u == "" {
		return page.Word("none")
	}
	return page.Unit(u)
}

type answered struct{ what, answer string }

// answersOf are the answers that an entry gave: those of its tables, or, where none has any, those of its
// findings.
func answersOf(e page.Entry) []answered {
	var out []answered
	for _, t := range e.Tables {
		at := slices.IndexFunc(t.Columns, func(c page.Column) bool { return c.ID == "answer" })
		if at < 0 {
			continue
		}
		for _, row := range t.Rows {
			var what []string
			for c, cell := range row {
				if id := t.Columns[c].ID; cell.Kind == page.Text && c != at && id != "doubt" && id != "why" {
					what = append(what, cell.Text)
				}
			}
			said := strings.Join(what, ", ")
			if len(t.Columns) > 1 && t.Columns[0].ID == "first" && len(what) > 1 {
				said = what[1] + " against " + what[0]
				if len(what) > 2 {
					said += ", " + strings.Join(what[2:], ", ")
				}
			}
			out = append(out, answered{said, answerSaid(row[at].Text, row[at].Doubt)})
		}
	}
	if out != nil {
		return out
	}
	for _, f := range e.Findings {
		for _, part := range f {
			if v, ok := part.(page.Verdict); ok && v.Of != "" {
				out = append(out, answered{v.Of, answerSaid(v.Words, v.Doubt)})
			}
		}
	}
	return out
}

// answerSaid is an answer with what it is in doubt for.
func answerSaid(words, doubt string) string {
	if doubt == "" {
		return words
	}
	return words + " (in doubt: " + doubt + ")"
}

// specimens finds the specimens that are new, and those that are gone.
func (r *rerun) specimens(old *session.Session) {
	for _, name := range r.now.SeriesNames() {
		now, _ := r.now.Frame(name)
		was, ok := old.Frame(name)
		if _, named := now.RoleColumn(frames.Specimen); !ok || !named {
			continue
		}
		before, after := namesOf(was), namesOf(now)
		for _, s := range after {
			if !slices.Contains(before, s) {
				r.moved = append(r.moved, movedRow{name, s, "new"})
			}
		}
		for _, s := range before {
			if !slices.Contains(after, s) {
				r.moved = append(r.moved, movedRow{name, s, "gone"})
			}
		}
	}
}

func namesOf(f *frames.Frame) []string {
	out := lists.Made(f.Len(), f.SpecimenName)
	slices.Sort(out)
	return slices.Compact(out)
}

// tell fills in the entry.
func (r *rerun) tell(entries int) {
	count := func(change string) (n int) {
		for _, m := range r.moved {
			if m.Change == change {
				n++
			}
		}
		return n
	}
	changed := len(r.changed) - r.lost
	v := againValues{entries, r.answers, changed, r.lost, count("new"), count("gone"), len(r.failed)}
	lead := page.Say("No answer changed: ", r.answers, say.Plural(r.answers, " answer of ", " answers of "))
	switch lost := page.Say(r.lost, say.Plural(r.lost, " answer is lost", " answers are lost")); {
	case r.lost > 0 && changed > 0:
		lead = page.Say(lost, " and ", changed, " changed, of ", r.answers, " in ")
	case r.lost > 0:
		lead = page.Say(lost, ", of ", r.answers, " in ")
	case changed > 0:
		lead = page.Say(changed, say.Plural(changed, " answer changed, of ", " answers changed, of "), r.answers,
			" in ")
	}
	lead = page.Say(lead, entries, say.Plural(entries, " entry", " entries"))
	if v.New > 0 {
		lead = page.Say(lead, "; ", v.New, say.Plural(v.New, " specimen is new", " specimens are new"))
	}
	if v.Gone > 0 {
		lead = page.Say(lead, "; ", v.Gone, say.Plural(v.Gone, " specimen is gone", " specimens are gone"))
	}
	e := r.k.Entry
	e.Findings = slices.Concat([]page.Sentence{append(lead, page.Word("."))}, r.failed, r.columns)
	for _, c := range r.changed[:min(mostChanges, len(r.changed))] {
		e.Find(page.Say("Entry ", c.Entry, " ("+c.Command+"): "+c.What+": "+c.Before+" → "+c.Now+"."))
	}
	if len(r.changed) > 0 {
		e.Tables = append(e.Tables, page.Filled(page.Table{ID: "changed", Title: page.Say("Answers that changed")},
			r.changed, nil))
	}
	if len(r.moved) > 0 {
		e.Tables = append(e.Tables, page.Filled(page.Table{ID: "specimens",
			Title: page.Say("Specimens that are new or gone")}, r.moved, nil))
	}
	e.Values = page.ValuesOf(v, nil)
	e.Series = r.now.Current()
}
