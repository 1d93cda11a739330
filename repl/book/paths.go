package book

import (
	"os"
	"path/filepath"

	"breakbook/frames/files"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// commandFrom is the command of an entry as it stands in a book of the folder: with
// files under the folder named from there, the rest as it was typed.
func commandFrom(folder string, e page.Entry) string {
	in := []rune(e.Input)
	for i := len(e.Files) - 1; i >= 0; i-- { // from the last, so that the places before it stay
		f := e.Files[i]
		if f.At < 1 || f.End < f.At || f.End > len(in)+1 {
			continue
		}
		path := pathFrom(folder, f)
		if path == f.Typed {
			continue
		}
		if spelled, ok := phrase.SpellFile(path); ok {
			in = append(in[:f.At-1:f.At-1], append([]rune(spelled), in[f.End-1:]...)...)
		}
	}
	return string(in)
}

// sourceFrom is the path of a data file as it stands in a book of the folder.
func sourceFrom(folder, path string) string {
	whole, err := filepath.Abs(files.Home(path))
	if err != nil {
		return path
	}
	return pathFrom(folder, page.File{Path: whole, Typed: path})
}

// pathFrom is how a book of the folder names a file: from the folder where the file
// lies under it. Another stays as typed, unless it is read and its name would lead to
// another file from there.
func pathFrom(folder string, f page.File) string {
	typed := files.Home(f.Typed)
	if rel, err := filepath.Rel(folder, f.Path); err == nil && filepath.IsLocal(rel) {
		if filepath.Clean(typed) == rel {
			return f.Typed
		}
		return filepath.ToSlash(rel)
	}
	if f.Written {
		return f.Typed
	}
	if whole, err := filepath.Abs(Beside(folder, f.Typed)); err == nil && whole == f.Path {
		return f.Typed
	}
	if _, err := os.Stat(f.Path); err != nil && typed == f.Typed {
		return f.Typed // gone meanwhile: nothing is known of it
	}
	return filepath.ToSlash(f.Path)
}
