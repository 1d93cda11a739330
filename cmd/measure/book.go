package main

import (
	"context"
	"fmt"

	"breakbook/repl/bench"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
)

// book is a session that takes commands as a person would type them.
type book struct{ session *session.Session }

// run carries out the commands of a line and gives the entry of the last one.
func (b *book) run(ctx context.Context, line string) (page.Entry, error) {
	var last page.Entry
	pieces, _, err := phrase.Split(line)
	if err != nil {
		return last, err
	}
	for _, p := range pieces {
		c, err := parser.Parse(p, b.session)
		if err != nil {
			return last, fmt.Errorf("%s: %w", p.Text, err)
		}
		if b.session, last, err = bench.Run(ctx, b.session, c); err != nil {
			return last, fmt.Errorf("%s: %w", p.Text, err)
		}
	}
	return last, nil
}
