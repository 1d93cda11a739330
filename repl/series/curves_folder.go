package series

import (
	"breakbook/frames/curvefiles"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// foldersRead tells how many files were read of folders, and how their names were taken.
func foldersRead(f *curvefiles.Folders) page.Sentence {
	taken := ""
	switch {
	case f.Prefix != "" && f.Suffix != "":
		taken = ", the specimen taken from the name between “" + f.Prefix + "” and “" + f.Suffix + "”"
	case f.Prefix != "":
		taken = ", the specimen taken from the name after “" + f.Prefix + "”"
	case f.Suffix != "":
		taken = ", the specimen taken from the name before “" + f.Suffix + "”"
	}
	n := len(f.Skipped)
	return page.Say(f.Files, say.Plural(f.Files, " file was", " files were")+" read"+taken,
		page.If(n > 0, "; ", n, say.Plural(n, " was", " were")+" left (the table says why)"), ".")
}

// skippedRow is something in a folder that was not read.
type skippedRow struct {
	File string `id:"file"`
	Why  string `id:"why"`
}

// tellFolders says what was read of folders and lists what was skipped.
func tellFolders(k *session.Call, f *curvefiles.Folders) {
	k.Entry.Find(foldersRead(f))
	if len(f.Skipped) == 0 {
		return
	}
	rows := lists.Mapped(f.Skipped, func(s curvefiles.SkippedFile) skippedRow { return skippedRow{s.Path, s.Why} })
	k.Entry.Tables = append(k.Entry.Tables, page.Filled(page.Table{ID: "left", Title: page.Say("Not read")}, rows, nil))
}
