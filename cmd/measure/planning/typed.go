package planning

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"breakbook/cmd/measure/typed"
	"breakbook/repl/page"
	"breakbook/repl/session"
)

// typedOn opens files in a book of their own, the last named being the current series, and carries out lines as a
// person would type them; an entry a line.
func typedOn(ctx context.Context, names, files []string, lines ...string) ([]page.Entry, error) {
	folder, err := os.MkdirTemp("", "planning")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	var all []string
	for i, name := range names {
		path := filepath.Join(folder, name+".csv")
		if err := os.WriteFile(path, []byte(files[i]), 0o600); err != nil {
			return nil, err
		}
		all = append(all, fmt.Sprintf("open %q as %s", path, name))
	}
	b := typed.Book{Session: session.New(session.Options{})}
	var out []page.Entry
	for i, line := range append(all, lines...) {
		e, err := b.Run(ctx, line)
		if err != nil {
			return nil, err
		}
		if i >= len(all) {
			out = append(out, e)
		}
	}
	return out, nil
}

// toldDifference is the row of a table of differences between two levels.
type toldDifference struct {
	value, low, high float64
	answer           string
	doubts           []string
}

// differenceOf reads the first row of the table of differences of a comparison, as second less first.
func differenceOf(e page.Entry) (toldDifference, error) {
	var out toldDifference
	for _, t := range e.Tables {
		if t.ID != "differences" || len(t.Rows) == 0 {
			continue
		}
		cell := func(id string) page.Cell {
			return t.Rows[0][slices.IndexFunc(t.Columns, func(c page.Column) bool { return c.ID == id })]
		}
		out = toldDifference{value: cell("difference").Num, low: cell("low").Num, high: cell("high").Num,
			answer: cell("answer").Text}
		for _, d := range e.Doubts {
			out.doubts = append(out.doubts, d.Code)
		}
		return out, nil
	}
	return out, fmt.Errorf("%s gave no differences", e.Input)
}
