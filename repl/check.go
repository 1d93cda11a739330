package repl

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	disk "breakbook/frames/files"
	"breakbook/repl/book"
	"breakbook/repl/render"
)

// sameWithin is how far two runs of one book may lie apart, relative to the larger,
// for another processor's rounding.
const sameWithin = 1e-9

// readEarlier reads the entries that --json gave in an earlier run.
func readEarlier(ctx context.Context, path string) (io.Reader, error) {
	text, err := disk.Read(ctx, path, disk.MostEarlier)
	if err != nil {
		return nil, fmt.Errorf("the earlier run %w", err)
	}
	return bytes.NewReader(text), nil
}

// compare says what this run gave otherwise than an earlier one; a difference is a
// failure.
func (l *loop) compare(name string, earlier io.Reader) int {
	found, err := book.Compare(earlier, l.screen.entries, sameWithin, render.Options{})
	if err != nil {
		return refuse(&callError{message: fmt.Sprintf("cannot compare with %s: %v", name, err)})
	}
	var text strings.Builder
	for _, d := range found {
		text.WriteString(differenceLine(d))
	}
	if len(found) == 0 {
		fmt.Fprintf(&text, "All as in %s: %d entries.\n", name, len(l.screen.entries))
	}
	if l.screen.json {
		l.screen.complain(text.String())
	} else {
		l.screen.write([]byte(render.CleanText(text.String(), false)))
	}
	if len(found) > 0 {
		return oneFailed
	}
	return allWorked
}

func differenceLine(d book.Difference) string {
	input := strings.Join(strings.Fields(d.Input), " ")
	switch {
	case d.Where == "" && d.New == "":
		return fmt.Sprintf("Entry %d before (%s) is gone.\n", d.Entry, input)
	case d.Where == "" && d.Old == "":
		return fmt.Sprintf("Entry %d (%s) is new.\n", d.Entry, input)
	}
	return fmt.Sprintf("Entry %d (%s), %s: was %s, is %s.\n", d.Entry, input, d.Where, cmp.Or(d.Old, "nothing"),
		cmp.Or(d.New, "nothing"))
}

// cause is what is behind a file error, without the path and the system call.
func cause(err error) string {
	var at *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "it is not there"
	case errors.Is(err, fs.ErrPermission):
		return "not permitted"
	case errors.As(err, &at):
		return at.Err.Error()
	}
	return err.Error()
}
