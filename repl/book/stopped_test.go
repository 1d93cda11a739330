package book

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"breakbook/repl/page"
)

// counted is a context that ends at a certain look.
type counted struct {
	context.Context
	end   context.CancelFunc
	looks int
	last  int
}

func (c *counted) Err() error {
	if c.looks++; c.last > 0 && c.looks >= c.last {
		c.end()
	}
	return c.Context.Err()
}

// A report of a long table looks at its context all the way, and is stopped wherever it ends.
func TestReportsStop(t *testing.T) {
	table := page.Table{ID: "rows", Columns: []page.Column{{ID: "load"}, {ID: "board"}}}
	for i := range 20_000 {
		table.Rows = append(table.Rows, []page.Cell{page.N(float64(i)), page.T(fmt.Sprint("b", i))})
	}
	d := Document{Entries: []page.Entry{{Number: 1, Kind: "rows", Input: "rows", Tables: []page.Table{table}}},
		Words: []Word{{"load", "what broke it"}}}
	for _, path := range []string{"report.html", "report.md"} {
		whole := &counted{Context: t.Context()}
		if _, err := Report(whole, path, d); err != nil {
			t.Fatal(err)
		}
		if whole.looks < 60 {
			t.Errorf("%s: %d looks", path, whole.looks)
		}
		for part := range 8 {
			ctx, end := context.WithCancel(t.Context())
			c := &counted{Context: ctx, end: end, last: 1 + (whole.looks-1)*part/7}
			if pieces, err := Report(c, path, d); !errors.Is(err, context.Canceled) || pieces != nil {
				t.Errorf("%s stopped at look %d of %d: %d pieces, %v", path, c.last, whole.looks, len(pieces), err)
			}
			end()
		}
	}
}
