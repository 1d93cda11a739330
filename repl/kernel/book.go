package kernel

import (
	"path/filepath"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/help"
	"breakbook/repl/say"
)

// prose books a note or a heading.
func prose(k *call, cmd *phrase.Prose) (*outcome, error) {
	k.e.Prose = cmd.Text.Text
	return nil, nil
}

// save asks the loop to write the book.
func save(k *call, cmd *phrase.SaveBook) (*outcome, error) {
	f := cmd.File
	if k.s.Count() == 0 {
		return nil, &page.Problem{Code: "empty-book", At: f.At, Message: "the book has no entries yet, so there is nothing to save",
			Hint: "open FILE.csv"}
	}
	if strings.ToLower(filepath.Ext(f.Path)) != ".brk" {
		return nil, k.unknownFormat(f, "a book is saved as .brk", ".brk")
	}
	k.e.Asks = []page.Ask{{Kind: page.SaveBook, Path: homed(f.Path)}}
	k.e.Findings = []page.Sentence{page.Say("The book is saved as "+f.Path+", ", k.s.Count(), " entries.")}
	return nil, nil
}

// replay asks the loop to run a saved book.
func replay(k *call, cmd *phrase.Replay) (*outcome, error) {
	k.e.Asks = []page.Ask{{Kind: page.Replay, Path: k.where(cmd.File)}}
	return nil, nil
}

// resume asks the loop to take up the latest book that was not saved.
func resume(k *call, cmd *phrase.Resume) (*outcome, error) {
	k.e.Asks = []page.Ask{{Kind: page.Resume}}
	return nil, nil
}

// forgetJournal asks the loop to drop the book that resume would take up.
func forgetJournal(k *call, cmd *phrase.ForgetJournal) (*outcome, error) {
	k.e.Asks = []page.Ask{{Kind: page.ForgetJournal}}
	return nil, nil
}

// report asks the loop to write the book as one page.
func report(k *call, cmd *phrase.Report) (*outcome, error) {
	f := cmd.File
	switch strings.ToLower(filepath.Ext(f.Path)) {
	case ".html", ".htm", ".md", ".markdown":
	default:
		return nil, k.unknownFormat(f, "a report is written as .html or .md", ".html")
	}
	k.e.Asks = []page.Ask{{Kind: page.Report, Path: homed(f.Path)}}
	k.e.Findings = []page.Sentence{page.Say("The report is written to " + f.Path + ".")}
	return nil, nil
}

// undo takes the latest entry back, out of the book too. Numbers are not used again,
// tests that were run stay counted, and files that were written stay and are named.
func undo(k *call, cmd *phrase.Undo) (*outcome, error) {
	n, last, ok := k.s.undone()
	if !ok {
		return nil, &page.Problem{Code: "nothing-to-undo", Message: "there is nothing to take back"}
	}
	said := page.Say("Entry ", last.Number, " is taken back: "+last.Input+".")
	for _, f := range last.Figures {
		said = append(said, page.Word(" The file "+f.Path+" stays."))
	}
	for _, a := range last.Asks {
		if a.Path != "" {
			said = append(said, page.Word(" The file "+a.Path+" stays."))
		}
	}
	k.e.Findings = []page.Sentence{said}
	return becomes(n), nil
}

// quit asks the loop to leave.
func quit(k *call, cmd *phrase.Quit) (*outcome, error) {
	if cmd.WithoutSaving {
		k.e.Asks = append(k.e.Asks, page.Ask{Kind: page.LeaveUnsaved})
	}
	k.e.Asks = append(k.e.Asks, page.Ask{Kind: page.Quit})
	return nil, nil
}

// askHelp tells what can be typed, on the user's own columns.
func askHelp(k *call, cmd *phrase.AskHelp) (*outcome, error) {
	word := ""
	if cmd.Word != nil {
		word = cmd.Word.Text
	}
	list, err := help.Lookup(word, k.s)
	if err != nil {
		if means, ok := say.Meaning(word); ok {
			k.e.Findings = []page.Sentence{means}
			return nil, nil
		}
		return nil, err
	}
	if word != "" && len(list) == 1 {
		h := list[0]
		k.e.Findings = []page.Sentence{page.Say(h.Phrase + " — " + h.Text + ".")}
		if len(h.Options) > 0 {
			k.e.Findings = append(k.e.Findings, page.Say("May follow, in any order: "+strings.Join(h.Options, " · ")))
		}
		k.e.Findings = append(k.e.Findings, page.Say("For example: "+h.Example))
		return nil, nil
	}
	for _, h := range list {
		if last := len(k.e.Tables) - 1; last < 0 || k.e.Tables[last].ID != string(h.Group) {
			k.e.Tables = append(k.e.Tables, page.Table{ID: string(h.Group), Title: page.Say(string(h.Group)),
				Columns: []page.Column{{ID: "example", Label: "type, for example"}, {ID: "purpose", Label: "what it does"}}})
		}
		t := &k.e.Tables[len(k.e.Tables)-1]
		t.Rows = append(t.Rows, []page.Cell{page.T(h.Example), page.T(h.Text)})
	}
	return nil, nil
}
