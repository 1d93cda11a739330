package repl

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"breakbook/repl/book"
	"breakbook/testdata/demo"
)

// demoFolder is where the demo goes when --out names no folder.
const demoFolder = "breakbook-demo"

// demo copies the shipped series and book into a folder of its own and runs the book
// there, showing each command with its result as if typed.
func (l *loop) demo(ctx context.Context, folder string) int {
	if folder == "" {
		folder = demoFolder
	}
	if err := unpack(demo.Files, folder); err != nil {
		return refuse(&callError{message: "the demo could not be put into " + folder + ": " + cause(err),
			hint: "name another folder with --out"})
	}
	if err := os.Chdir(folder); err != nil {
		return refuse(&callError{message: err.Error()})
	}
	l.files.folder = ""
	commands, err := fs.ReadFile(demo.Files, demo.Book)
	if err != nil {
		return refuse(&callError{message: err.Error()})
	}
	l.screen.greet(fmt.Sprintf("The demo works in the folder %s.\n", folder))
	if !l.feed(ctx, linesOf(strings.NewReader(string(commands))), true, true) {
		return oneFailed
	}
	l.screen.greet(demoEnd(folder, l))
	return allWorked
}

// demoEnd says what the demo left behind and what to try next.
func demoEnd(folder string, l *loop) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\nThat was the demo. In %s there are now:\n", folder)
	for _, e := range l.session.Entries() {
		for _, a := range e.Asks {
			if a.Path != "" {
				fmt.Fprintf(&b, "  %s (the report: open it in a browser)\n", a.Path)
			}
		}
		for _, f := range e.Figures {
			fmt.Fprintf(&b, "  %s\n", f.Path)
		}
	}
	fmt.Fprintf(&b, `
To go on from here:
  cd %s
  breakbook
  replay %s      (the same again, then carry on with commands of your own)
  help                 (everything that can be typed)
With your own series: breakbook, then open FILE.csv, then look.
`, folder, demo.Book)
	return b.String()
}

// unpack writes the demo's series and book into folder, making it where needed. Go
// files and notes beside them stay behind.
func unpack(files fs.FS, folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	found, err := fs.ReadDir(files, ".")
	if err != nil {
		return err
	}
	for _, f := range found {
		text, err := fs.ReadFile(files, f.Name())
		if err != nil {
			return err
		}
		err = book.WriteFile(filepath.Join(folder, f.Name()), func(w io.Writer) error {
			_, err := w.Write(text)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}
