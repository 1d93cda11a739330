// Package reading makes a table of a file. Bytes come in, as people and other programs
// leave them, with what the person says about them (Overrides); out comes a frame and how
// the file was understood, with a remark on everything that is odd about it, or an error
// with the line or column that cannot be read. Nothing here knows how a frame keeps its cells.
package reading

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"

	"breakbook/frames"
	"breakbook/frames/files"
	"breakbook/frames/meant"
	"breakbook/models/parallel"
)

// Open reads a CSV file into a frame. A leading ~/ is the home folder. Errors are
// *Error with the file and, where there is one, the line; a file that is not there
// comes with the nearest name in its folder. When ctx ends, so does the reading, with
// the cause.
func Open(ctx context.Context, path string, o Overrides) (_ *frames.Frame, _ *frames.Reading, err error) {
	defer parallel.Catch(&err)
	data, err := files.Read(ctx, path, files.MostTable())
	if err != nil {
		return nil, nil, Unopened(path, err)
	}
	return readWithLook(ctx, path, data, o)
}

// Unopened is why a file or folder cannot be read, from package files, as an *Error that names it and what
// may be meant; any other error is as it was.
func Unopened(path string, err error) error {
	var f *files.Error
	if !errors.As(err, &f) {
		return err
	}
	e := &frames.Error{File: path, Word: path, Detail: path + " " + f.Reason, Err: f.Err}
	switch f.Cause {
	case files.Missing:
		e.Code, e.Detail, e.Hint = "no-such-file", "there is no file "+path, nearestFile(files.Home(path))
	case files.Folder:
		e.Code, e.Hint = "is-a-folder", tableIn(files.Home(path))
	case files.Device:
		e.Code = "not-a-file"
	case files.TooLong:
		e.Code, e.Hint = "too-large", files.MoreMemory(4*longer(files.Home(path)))
	default:
		e.Code = "unreadable"
	}
	return e
}

// longer is how long a file is that is longer than what is read.
func longer(path string) int64 {
	if is, err := os.Stat(path); err == nil {
		return max(is.Size(), files.MostTable())
	}
	return files.MostTable()
}

// nearestFile suggests a file of the same folder with a name like this one.
func nearestFile(path string) string {
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	base := filepath.Base(path)
	if slices.Contains(names, base+".csv") {
		return "did you mean " + base + ".csv?"
	}
	return meant.Hint(base, names)
}

// tableIn names a CSV file in the folder.
func tableIn(folder string) string {
	found, err := filepath.Glob(filepath.Join(folder, "*.csv"))
	if err != nil || len(found) == 0 {
		return ""
	}
	return "did you mean " + filepath.Base(found[0]) + " in it?"
}
