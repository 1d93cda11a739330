// Package typed types commands into a session as a person would: in come lines, and series to open; out comes what
// came of the last line, and what its tables and values say.
package typed

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"breakbook/repl/bench"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
)

// Book is a session that takes commands as a person would type them; without one it begins with a new one.
type Book struct{ Session *session.Session }

// Run carries out the commands of a line and gives the entry of the last one.
func (b *Book) Run(ctx context.Context, line string) (page.Entry, error) {
	if b.Session == nil {
		b.Session = session.New(session.Options{})
	}
	var last page.Entry
	pieces, _, err := phrase.Split(line)
	if err != nil {
		return last, err
	}
	for _, p := range pieces {
		c, err := parser.Parse(p, b.Session)
		if err != nil {
			return last, fmt.Errorf("%s: %w", p.Text, err)
		}
		if b.Session, last, err = bench.Run(ctx, b.Session, c); err != nil {
			return last, fmt.Errorf("%s: %w", p.Text, err)
		}
	}
	return last, nil
}

// Open opens a series by its name, from a CSV file that is gone afterwards.
func (b *Book) Open(ctx context.Context, name, csv string) error {
	folder, err := os.MkdirTemp("", "measure")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	path := filepath.Join(folder, name+".csv")
	if err := os.WriteFile(path, []byte(csv), 0o600); err != nil {
		return err
	}
	_, err = b.Run(ctx, fmt.Sprintf("open %q as %s", path, name))
	return err
}

// Asked opens a series written as a CSV file and carries out lines on it; the entry is the last one's.
type Asked func(ctx context.Context, csv, lines string) (page.Entry, error)

// Ask asks in a book of its own, where the series is named s.
func Ask(ctx context.Context, csv, lines string) (page.Entry, error) {
	var b Book
	if err := b.Open(ctx, "s", csv); err != nil {
		return page.Entry{}, err
	}
	return b.Run(ctx, lines)
}

// CSV is a series as it stands in a file.
func CSV(header []string, rows [][]string) string {
	var b strings.Builder
	b.WriteString(strings.Join(header, ",") + "\n")
	for _, row := range rows {
		b.WriteString(strings.Join(row, ",") + "\n")
	}
	return b.String()
}
