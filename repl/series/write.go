package series

import (
	"crypto/sha256"
	"encoding/hex"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/series/specimens"
	"breakbook/repl/session"
)

// wrote tells which files hold a series now.
func wrote(series, csv, look string, specimens, columns, aside int) page.Sentence {
	return page.Say(series+" is written to "+csv+": ", specimens, say.Plural(specimens, " specimen", " specimens"),
		page.If(aside > 0, ", ", aside, " of them set aside,"), " in ", columns, say.Plural(columns, " column",
			" columns")+"; "+look+" beside it has what a CSV cannot say, and open "+csv+" reads both.")
}

// fileRow is a file that is written.
type fileRow struct {
	File   string `id:"file"`
	Bytes  int    `id:"bytes"`
	SHA256 string `id:"sha256" wide:"yes"`
}

// Write asks the loop to write the current series as a CSV with its look beside it.
func Write(k *session.Call, cmd *phrase.Write) (*session.Outcome, error) {
	file := cmd.File
	look := frames.LookPath(file.Path)
	if look == "" {
		return nil, k.UnknownFormat(file, "a series is written as .csv", ".csv")
	}
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	w, err := f.Write(k.Context)
	if err != nil {
		return nil, err
	}
	k.Entry.Asks = []page.Ask{{Kind: page.Write, Path: files.Home(file.Path), Content: w.CSV},
		{Kind: page.Write, Path: files.Home(look), Content: w.Look, Beside: true}}
	k.Entry.Findings = []page.Sentence{wrote(name, file.Path, look, f.Len(), len(f.Columns()), specimens.AsideIn(f))}
	n := w.Escaped
	k.Entry.Find(page.If(n > 0, n, say.Plural(n, " cell", " cells")+
		" of text that a spreadsheet would run as a formula "+say.Plural(n, "has", "have")+" an apostrophe before "+
		say.Plural(n, "it", "them")+"; open takes it off again."))
	sum := sha256.Sum256(w.Look)
	rows := []fileRow{{file.Path, len(w.CSV), w.SHA256}, {look, len(w.Look), hex.EncodeToString(sum[:])}}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "files", Title: page.Say("Files")}, rows, nil)}
	return nil, nil
}

// besideOf are the paths of the files that a series rests on beside its own.
func besideOf(f *frames.Frame) []string {
	return lists.Mapped(f.Used(), func(used frames.Source) string { return used.Path })
}
