package repl

import (
	"context"
	"errors"
	"fmt"
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
	if err := l.unpack(ctx, demo.Files, folder); err != nil {
		var exists *book.ExistsError
		if errors.As(err, &exists) {
			return refuse(&callError{message: err.Error() + ": the demo is not put there",
				hint: "breakbook demo --out " + freeFolder(folder)})
		}
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

// unpack writes the demo's series and book into folder, making it where needed: all of
// them, or none where somebody changed one that is there. Go files and notes beside them
// stay behind.
func (l *loop) unpack(ctx context.Context, from fs.FS, folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	found, err := fs.ReadDir(from, ".")
	if err != nil {
		return err
	}
	var order book.Order
	for _, f := range found {
		text, err := fs.ReadFile(from, f.Name())
		if err != nil {
			return err
		}
		order.Pieces = append(order.Pieces, book.Piece{Path: filepath.Join(folder, f.Name()), Content: text})
	}
	_, err = book.Write(ctx, l.files.remembered(), order)
	return err
}

// freeFolder is folder-2, folder-3 and so on, the first that is not there.
func freeFolder(folder string) string {
	for n := 2; ; n++ {
		name := fmt.Sprintf("%s-%d", filepath.Clean(folder), n)
		if _, err := os.Lstat(name); err != nil {
			return name
		}
	}
}
