package bench

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
)

// looked is a context that counts how often it is looked at, and ends at a certain look.
type looked struct {
	context.Context
	end   context.CancelFunc
	count atomic.Int64 // several cores look at it
	last  int          // the look at which it ends; 0: it does not
}

func newLooked(t *testing.T, last int) *looked {
	ctx, end := context.WithCancel(t.Context())
	t.Cleanup(end)
	return &looked{Context: ctx, end: end, last: last}
}

func (l *looked) Err() error {
	if n := l.count.Add(1); l.last > 0 && n >= int64(l.last) {
		l.end()
	}
	return l.Context.Err()
}

// longSeries has as many specimens as a few breaths, on a board for every ten.
func longSeries(t *testing.T, rows int) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("load (N),board,pins,density (kg/m3),failure\n")
	draw := rand.New(rand.NewPCG(1, 1))
	for i := range rows {
		density := 600 + 40*draw.NormFloat64()
		fmt.Fprintf(&b, "%.2f,b%d,%s,%.2f,%s\n", 900+0.4*(density-600)+60*draw.NormFloat64(), i/50,
			[]string{"none", "pair", "four"}[draw.IntN(3)], density, []string{"glue", "wood", "both"}[draw.IntN(3)])
	}
	path := filepath.Join(t.TempDir(), "gates.csv")
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestLongCommandsStop stops each command at looks spread over its work, and wants it to be
// over at once, and the session to be the one before.
func TestLongCommandsStop(t *testing.T) {
	b := &bench{t: t}
	b.s = session.New(session.Options{})
	b.run("open "+longSeries(t, 9_000), "treat board as category", "fit load on density, pins")
	for i, c := range []struct {
		line  string
		looks int // at least so many, over its whole work
	}{
		{"average load by pins", 6}, {"count failure by pins", 3}, {"modes failure by pins under load", 6},
		{"check load by pins", 6}, {"check of fit1", 3},
		{"fit load on density, pins", 6}, {"fit load on density, pins uneven spread", 6},
		{"fit load on density, pins resistant", 16},
		{"compare load by pins", 6}, {"compare load by pins ranked", 16}, {"compare load by pins uneven spread", 6},
		{"compare load by pins reshuffled 200 times", 6}, {"same load by pins within 10%", 3},
		{"characteristic load by pins ranked", 6}, {"characteristic load by pins blocked by board", 16},
		{"characteristic of fit1 given pins pair", 6},
		{"odds failure is glue on density, pins", 3}, {"fit load until failure is glue on pins", 6},
		{"draw load by pins", 2}, {"put pins below failure as tall", 3}, {"draw load against density", 2},
		{"rows for density > 500", 2},
	} {
		if testing.Short() && i%4 != 0 {
			continue // the rest runs without -short, as counts and digits do
		}
		whole := newLooked(t, 0)
		if _, err := b.under(whole, c.line); err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		looks := int(whole.count.Load())
		if looks < c.looks {
			t.Errorf("%s looked at its context %d times, not %d", c.line, looks, c.looks)
		}
		for part := range 3 {
			last := 1 + (looks-1)*part/3
			ctx := newLooked(t, last)
			next, err := b.under(ctx, c.line)
			var p *page.Problem
			if !errors.As(err, &p) || p.Code != "interrupted" || next != b.s {
				t.Errorf("%s stopped at look %d of %d: %v", c.line, last, looks, err)
			}
		}
	}
}

// under carries out a line without keeping what came of it.
func (b *bench) under(ctx context.Context, line string) (*session.Session, error) {
	pieces, _, err := phrase.Split(line)
	if err != nil {
		return nil, err
	}
	c, err := parser.Parse(pieces[0], b.s)
	if err != nil {
		return nil, err
	}
	next, _, err := Run(ctx, b.s, c)
	return next, err
}

// TestAResultDoesNotKeepTheContextItWasMadeUnder: what is asked of a fit later must not stop
// because the command that made it is over.
func TestAResultDoesNotKeepTheContextItWasMadeUnder(t *testing.T) {
	b := &bench{t: t}
	b.s = session.New(session.Options{})
	b.run("open "+longSeries(t, 9_000), "treat board as category")
	ctx, end := context.WithCancel(t.Context())
	next, err := b.under(ctx, "fit load on density, pins blocked by board")
	if err != nil {
		t.Fatal(err)
	}
	end()
	b.s = next
	for _, line := range []string{"check of fit1", "compare pins of fit1", "adjusted pins of fit1",
		"draw residuals of fit1", "draw effects of fit1",
		"predict fit1 given density 600", "plan load by pins of fit1 detecting 5%"} {
		if _, err := b.under(t.Context(), line); err != nil && strings.Contains(err.Error(), "stopped") {
			t.Errorf("%s: %v", line, err)
		}
	}
}
