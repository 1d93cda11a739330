package repl

import (
	"context"
	"path/filepath"
	"slices"

	"breakbook/frames/curvefiles"
	disk "breakbook/frames/files"
	"breakbook/repl/book"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	wording "breakbook/repl/say"
)

// foldersChanged gives a caution for each folder that a book reads and that holds other files now than
// when the book was saved. What a file holds is compared apart.
func foldersChanged(ctx context.Context, lines []book.Line, saved []book.Source, folder string) []page.Sentence {
	var out []page.Sentence
	var seen []string
	for _, p := range linesOfCommands(lines) {
		entry, named := phrase.Outline(p)
		if entry == nil || entry.Kind != "curves" {
			continue
		}
		for _, file := range named {
			path := book.Beside(folder, file.Path)
			if !disk.IsFolder(path) || slices.Contains(seen, path) {
				continue
			}
			seen = append(seen, path)
			if s := folderChanged(ctx, path, file.Path, saved, folder); s != nil {
				out = append(out, s)
			}
		}
	}
	return out
}

// folderChanged compares one folder, called as typed, with the files of it that a book was saved with.
func folderChanged(ctx context.Context, path, typed string, saved []book.Source, folder string) page.Sentence {
	var then []string
	for _, s := range saved {
		if at := book.Beside(folder, s.File); sameFolder(filepath.Dir(at), path) {
			then = append(then, filepath.Base(at))
		}
	}
	if len(then) == 0 {
		return nil
	}
	all, _, _, err := curvefiles.Listed(ctx, []string{path})
	if err != nil {
		return nil // said by the command that reads it
	}
	var now, more, gone []string
	for _, one := range all {
		name := filepath.Base(one)
		now = append(now, name)
		if !slices.Contains(then, name) {
			more = append(more, name)
		}
	}
	for _, name := range then {
		if !slices.Contains(now, name) {
			gone = append(gone, name)
		}
	}
	if len(more)+len(gone) == 0 {
		return nil
	}
	are := func(names []string, what string) page.Sentence {
		n := len(names)
		return page.If(n > 0, "; ", n, wording.Plural(n, " is", " are")+what+wording.ShortList(names))
	}
	return page.Say(typed+" holds other files than when this book was saved", are(gone, " gone: "), are(more, " new: "),
		". Results may differ.")
}

// sameFolder reports whether two paths are of one folder.
func sameFolder(a, b string) bool {
	a, errA := filepath.Abs(disk.Home(a))
	b, errB := filepath.Abs(disk.Home(b))
	return errA == nil && errB == nil && a == b
}
