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
	answers int // that were compared
	changed []changedRow
	failed  []page.Sentence
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

// compare finds the answers of an entry that changed.
func (r *rerun) compare(was, is page.Entry) {
	before, now := answersOf(was), answersOf(is)
	for _, a := range now {
		at := slices.IndexFunc(before, func(b answered) bool { return b.what == a.what })
		if at < 0 {
			continue
		}
		r.answers++
		if before[at].answer != a.answer {
			r.changed = append(r.changed, changedRow{was.Number, was.Input, a.what, before[at].answer, a.answer})
		}
	}
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
	v := againValues{entries, r.answers, len(r.changed), count("new"), count("gone"), len(r.failed)}
	lead := page.Say("No answer changed: ", r.answers, say.Plural(r.answers, " answer of ", " answers of "), entries,
		say.Plural(entries, " entry", " entries"))
	if v.Changed > 0 {
		lead = page.Say(v.Changed, say.Plural(v.Changed, " answer changed, of ", " answers changed, of "),
			r.answers, " in ", entries, say.Plural(entries, " entry", " entries"))
	}
	if v.New > 0 {
		lead = page.Say(lead, "; ", v.New, say.Plural(v.New, " specimen is new", " specimens are new"))
	}
	if v.Gone > 0 {
		lead = page.Say(lead, "; ", v.Gone, say.Plural(v.Gone, " specimen is gone", " specimens are gone"))
	}
	e := r.k.Entry
	e.Findings = append([]page.Sentence{append(lead, page.Word("."))}, r.failed...)
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
