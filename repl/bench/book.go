package bench

import (
	"path/filepath"
	"strings"

	"breakbook/frames/files"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/help"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// meaning explains one word of results; ok is false for a word that is none.
func meaning(word string) (s page.Sentence, ok bool) {
	word = strings.Join(strings.Fields(word), " ")
	for _, w := range say.Words() {
		is := func(s string) bool { return strings.EqualFold(s, word) }
		if is(w.Word) || is(w.Word+"s") || is("in "+w.Word) {
			return page.Say(w.Word + ": " + w.Means + "."), true
		}
	}
	return nil, false
}

// prose books a note, a heading or a conclusion, which is about the current series.
func prose(k *session.Call, cmd *phrase.Prose) (*session.Outcome, error) {
	if k.Entry.Kind == "conclude" {
		k.Entry.Series = k.Session.Current()
	}
	k.Entry.Prose = cmd.Text.Text
	return nil, nil
}

// save asks the loop to write the book.
func save(k *session.Call, cmd *phrase.SaveBook) (*session.Outcome, error) {
	f := cmd.File
	if k.Session.Count() == 0 {
		return nil, page.Refuse(page.CodeEmptyBook, f.At, "the book has no entries yet, so there is nothing to save",
			"open FILE.csv")
	}
	if strings.ToLower(filepath.Ext(f.Path)) != ".brk" {
		return nil, k.UnknownFormat(f, "a book is saved as .brk", ".brk")
	}
	k.Entry.Asks = []page.Ask{{Kind: page.SaveBook, Path: files.Home(f.Path)}}
	k.Entry.Findings = []page.Sentence{page.Say("The book is saved as "+f.Path+", ", k.Session.Count(),
		say.Plural(k.Session.Count(), " entry.", " entries."))}
	return nil, nil
}

// replay asks the loop to run a saved book.
func replay(k *session.Call, cmd *phrase.Replay) (*session.Outcome, error) {
	k.Entry.Asks = []page.Ask{{Kind: page.Replay, Path: k.Where(cmd.File)}}
	return nil, nil
}

// asking hands a command to the loop, which has no more to know of it.
func asking[C any](what page.AskKind) handling {
	return on(func(k *session.Call, _ *C) (*session.Outcome, error) {
		k.Entry.Asks = []page.Ask{{Kind: what}}
		return nil, nil
	})
}

// report asks the loop to write the book as one page.
func report(k *session.Call, cmd *phrase.Report) (*session.Outcome, error) {
	f := cmd.File
	switch strings.ToLower(filepath.Ext(f.Path)) {
	case ".html", ".htm", ".md", ".markdown":
	default:
		return nil, k.UnknownFormat(f, "a report is written as .html or .md", ".html")
	}
	ask := page.Ask{Kind: page.Report, Path: files.Home(f.Path)}
	if cmd.Titled != nil {
		ask.Title = cmd.Titled.Text
	}
	if cmd.By != nil {
		ask.By = cmd.By.Text
	}
	if cmd.Dated != nil {
		ask.Dated = cmd.Dated.Text
	}
	k.Entry.Asks = []page.Ask{ask}
	k.Entry.Findings = []page.Sentence{page.Say("The report is written to " + f.Path + ".")}
	return nil, nil
}

// undo takes the latest entry back, out of the book too. Numbers are not used again,
// tests that were run stay counted, and files that were written stay and are named.
func undo(k *session.Call, cmd *phrase.Undo) (*session.Outcome, error) {
	n, last, ok := k.Session.Undone()
	if !ok {
		return nil, page.Refuse(page.CodeNothingToUndo, 0, "there is nothing to take back", "")
	}
	said := page.Say("Entry ", last.Number, " is undone: "+last.Input+".")
	for _, f := range last.Figures {
		said = append(said, page.Word(" The file "+f.Path+" stays."))
	}
	for _, a := range last.Asks {
		if a.Path != "" {
			said = append(said, page.Word(" The file "+a.Path+" stays."))
		}
	}
	k.Entry.Findings = []page.Sentence{said}
	return session.Becomes(n), nil
}

// quit asks the loop to leave.
func quit(k *session.Call, cmd *phrase.Quit) (*session.Outcome, error) {
	if cmd.WithoutSaving {
		k.Entry.Asks = append(k.Entry.Asks, page.Ask{Kind: page.LeaveUnsaved})
	}
	k.Entry.Asks = append(k.Entry.Asks, page.Ask{Kind: page.Quit})
	return nil, nil
}

// askHelp tells what can be typed, on the user's own columns.
func askHelp(k *session.Call, cmd *phrase.AskHelp) (*session.Outcome, error) {
	word := ""
	if cmd.Word != nil {
		word = cmd.Word.Text
	}
	if word == "" {
		k.Entry.Tables = []page.Table{topicTable()}
		return nil, nil
	}
	if topic, list, ok := help.OnTopic(word, k.Session); ok {
		rows := lists.Mapped(list, func(h help.Entry) helpRow { return helpRow{h.Example, h.Text} })
		k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: topic.Name, Title: page.Say(topic.Name + ": " +
			topic.About)}, rows, nil)}
		return nil, nil
	}
	if word == "all" {
		word = ""
	}
	list, err := lookup(word, k.Session)
	if err != nil {
		if means, ok := meaning(word); ok {
			k.Entry.Findings = []page.Sentence{means}
			return nil, nil
		}
		return nil, err
	}
	if word != "" && len(list) == 1 {
		h := list[0]
		k.Entry.Findings = []page.Sentence{page.Say(h.Phrase + " — " + h.Text + ".")}
		if len(h.Options) > 0 {
			k.Entry.Find(page.Say("May follow, in any order: " + strings.Join(h.Options, " · ")))
		}
		k.Entry.Find(page.Say("For example: " + h.Example))
		return nil, nil
	}
	for len(list) > 0 {
		group := string(list[0].Group)
		var rows []helpRow
		for ; len(list) > 0 && string(list[0].Group) == group; list = list[1:] {
			rows = append(rows, helpRow{list[0].Example, list[0].Text})
		}
		k.Entry.Tables = append(k.Entry.Tables, page.Filled(page.Table{ID: group, Title: page.Say(group)}, rows, nil))
	}
	return nil, nil
}

// lookup is the help on words: on all of them, else on as many of the first as there is help on, so that a
// whole line is help on its command.
func lookup(words string, k phrase.Known) ([]help.Entry, error) {
	list, err := help.Lookup(words, k)
	for part := strings.Fields(words); err != nil && len(part) > 1; {
		part = part[:len(part)-1]
		if found, failed := help.Lookup(strings.Join(part, " "), k); failed == nil {
			return found, nil
		}
	}
	return list, err
}

type topicRow struct {
	Topic string `id:"topic" label:"type help and"`
	About string `id:"about" label:"what it is about"`
}

// topicTable lists the pages of the help.
func topicTable() page.Table {
	rows := lists.Mapped(help.Topics, func(t help.Topic) topicRow { return topicRow{t.Name, t.About} })
	return page.Filled(page.Table{ID: "topics", Title: page.Say("Help by topic"),
		Note: page.Say("help compare, help fit: one command; help residual: a word of results; " +
			"help all: every command")},
		rows, nil)
}

// helpRow is one command: a line to type, and what it does.
type helpRow struct {
	Example string `id:"example" label:"type, for example"`
	Purpose string `id:"purpose" label:"what it does"`
}
