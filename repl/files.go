package repl

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"breakbook/repl/page"
)

// files knows where the files go that the commands write.
type files struct {
	folder string // for paths without a folder of their own; "" is the current one
	drawn  int    // the number of the last figure without a name
}

var numbered = regexp.MustCompile(`^figure-(\d+)\.(?:png|svg|pdf)$`)

// afterEarlier starts the numbers of the figures after those already in the folder,
// so that a new book at the prompt leaves the figures of the last one alone.
func (f files) afterEarlier() files {
	found, err := os.ReadDir(filepath.Join(f.folder, "."))
	if err != nil {
		return f // a folder that is not there yet holds no figures
	}
	for _, file := range found {
		if m := numbered.FindStringSubmatch(file.Name()); m != nil {
			if n, err := strconv.Atoi(m[1]); err == nil && n > f.drawn {
				f.drawn = n
			}
		}
	}
	return f
}

// place is where a path as typed leads: a name without a folder goes to the folder
// of the book.
func (f files) place(path string) string {
	if filepath.Base(path) == path {
		return filepath.Join(f.folder, path)
	}
	return path
}

// ready makes the folder of the book where it is not there yet.
func (f files) ready() error {
	if f.folder == "" {
		return nil
	}
	return makeFolder(f.folder)
}

func makeFolder(folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return &page.Problem{Code: "cannot-write", Message: fmt.Sprintf("cannot make the folder %s: %s", folder, cause(err))}
	}
	return nil
}

// draw draws the figures of an entry and notes where they went.
func (f *files) draw(ctx context.Context, e *page.Entry) error {
	drawn := make([]page.Figure, len(e.Figures))
	for i, fig := range e.Figures {
		if err := ctx.Err(); err != nil {
			return err
		}
		if fig.Path == "" {
			f.drawn++
			fig.Path = fmt.Sprintf("figure-%d.png", f.drawn)
		}
		if fig.NewFolder { // which goes where a file of its name would
			folder := f.place(filepath.Dir(fig.Path))
			fig.Path = filepath.Join(folder, filepath.Base(fig.Path))
			if err := makeFolder(folder); err != nil {
				return err
			}
		} else {
			fig.Path = f.place(fig.Path)
		}
		if err := drawFigure(ctx, fig); err != nil {
			return err
		}
		drawn[i] = fig
	}
	e.Figures = drawn
	return nil
}

// pathsFrom lists the files and folders whose path starts as typed, for completion;
// a folder ends in its separator. Hidden ones are shown when a dot was typed.
func pathsFrom(prefix string) []string {
	folder, name := filepath.Split(prefix)
	real := folder
	if rest, ok := strings.CutPrefix(folder, "~"+string(filepath.Separator)); ok {
		if home, err := os.UserHomeDir(); err == nil {
			real = filepath.Join(home, rest)
		}
	}
	found, err := os.ReadDir(filepath.Join(real, "."))
	if err != nil {
		return nil // nothing to offer there
	}
	var out []string
	for _, f := range found {
		if !strings.HasPrefix(f.Name(), name) || name == "" && strings.HasPrefix(f.Name(), ".") {
			continue
		}
		path := folder + f.Name()
		if info, err := os.Stat(filepath.Join(real, f.Name())); err == nil && info.IsDir() {
			path += string(filepath.Separator)
		}
		out = append(out, path)
	}
	return out
}
