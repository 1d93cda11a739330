// Package typed types commands into a session as a person would: in come lines, out comes what came of the last.
package typed

import (
	"context"
	"fmt"

	"breakbook/repl/bench"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
)

// Book is a session that takes commands as a person would type them.
type Book struct{ Session *session.Session }

// Run carries out the commands of a line and gives the entry of the last one.
func (b *Book) Run(ctx context.Context, line string) (page.Entry, error) {
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
