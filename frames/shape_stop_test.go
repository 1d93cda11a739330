package frames_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"testing"

	"breakbook/frames"
	"breakbook/frames/vectors"
	"breakbook/models/parallel"
)

// counted is a context that ends at a certain look.
type counted struct {
	context.Context
	end  context.CancelFunc
	seen atomic.Int64 // looks, from several cores
	last int          // 0: it does not end
}

func (c *counted) Err() error {
	if n := c.seen.Add(1); c.last > 0 && n >= int64(c.last) {
		c.end()
	}
	return c.Context.Err()
}

// Shaping looks at its context all the way, and wherever it ends that is the error, with no
// frame of it.
func TestShapingStops(t *testing.T) {
	const rows = 40_000
	var b strings.Builder
	b.WriteString("load (N),board,pins,note\n")
	for i := range rows {
		fmt.Fprintf(&b, "%d.5,b%d,%s,note %d\n", i%1009, i, []string{"none", "pair", "four"}[i%3], i)
	}
	f := opened(t, b.String())
	keep := make([]bool, rows)
	for i := range keep {
		keep[i] = i%2 == 0
	}
	loads := make([]float64, rows)
	parts := []frames.Part{{"first", f}, {"second", f}}
	for _, c := range []struct {
		what  string
		looks int // at least so many
		shape func(ctx context.Context) (*frames.Frame, error)
	}{
		{"subset", 20, func(ctx context.Context) (_ *frames.Frame, err error) {
			defer parallel.Catch(&err)
			return f.Subset(ctx, keep), nil
		}},
		{"merge", 10, func(ctx context.Context) (*frames.Frame, error) {
			return f.Merge(ctx, "pins", []string{"none", "pair"}, "few")
		}},
		{"band", 20, func(ctx context.Context) (*frames.Frame, error) {
			return f.Band(ctx, "load", []float64{500}, "strong", "Strong")
		}},
		{"cuts", 10, func(ctx context.Context) (*frames.Frame, error) {
			cuts, err := f.Cuts(ctx, "load", 4)
			if cuts == nil {
				return nil, err
			}
			return f, err
		}},
		{"convert", 20, func(ctx context.Context) (*frames.Frame,
			error) {
			return f.Convert(ctx, "load", unit(t, "kN"))
		}},
		{"numbers", 10, func(ctx context.Context) (*frames.Frame, error) {
			return f.WithNumbers(ctx, frames.NumberColumn{Name: "load", Values: loads})
		}},
		{"vector", 10, func(ctx context.Context) (*frames.Frame, error) {
			v, err := vectors.Of(ctx, f, "note")
			if err != nil {
				return nil, err
			}
			next, _, err := vectors.Added(ctx, f, "other", "Other", v)
			return next, err
		}},
		{"text", 20, func(ctx context.Context) (*frames.Frame, error) {
			next, _, err := f.SetKind(ctx, "pins", frames.Text)
			return next, err
		}},
		{"category", 20, func(ctx context.Context) (*frames.Frame, error) {
			next, _, err := f.SetKind(ctx, "note", frames.Category)
			return next, err
		}},
		{"pool", 100, func(ctx context.Context) (*frames.Frame, error) {
			next, _, err := frames.Pool(ctx, parts)
			return next, err
		}},
		{"line up", 40, func(ctx context.Context) (*frames.Frame, error) {
			next, _, err := frames.LineUp(ctx, parts[0], parts[1], "board")
			return next, err
		}},
		{"write", 10, func(ctx context.Context) (*frames.Frame, error) {
			written, err := f.Write(ctx)
			if written == nil {
				return nil, err
			}
			return f, err
		}},
		{"codes", 10, func(ctx context.Context) (*frames.Frame, error) {
			codes, err := f.Codes(ctx, "pins")
			if codes == nil {
				return nil, err
			}
			return f, err
		}},
	} {
		whole := &counted{Context: t.Context()}
		if next, err := c.shape(whole); err != nil || next == nil {
			t.Fatalf("%s: %v", c.what, err)
		}
		looks := int(whole.seen.Load())
		if looks < c.looks {
			t.Errorf("%s looked %d times", c.what, looks)
		}
		for part := range 10 {
			ctx, end := context.WithCancel(t.Context())
			at := &counted{Context: ctx, end: end, last: 1 + (looks-1)*part/9}
			if next, err := c.shape(at); !errors.Is(err, context.Canceled) || next != nil {
				t.Errorf("%s stopped at look %d of %d: %v", c.what, at.last, looks, err)
			}
			end()
		}
	}
}

// Pooling and merging with as many levels as rows take no more than a while: once each level
// was looked for among all.
func TestShapingOfManyLevels(t *testing.T) {
	const rows = 50_000
	var b strings.Builder
	b.WriteString("load,board\n")
	for i := range rows {
		fmt.Fprintf(&b, "1,b%d\n", i)
	}
	f, _, err := opened(t, b.String()).SetKind(t.Context(), "board", frames.Category)
	if err != nil {
		t.Fatal(err)
	}
	pooled, _, err := frames.Pool(t.Context(), []frames.Part{{"first", f}, {"second", f}})
	if err != nil {
		t.Fatal(err)
	}
	merged, err := pooled.Merge(t.Context(), "board", []string{"b1", "b3"}, "odd")
	if err != nil {
		t.Fatal(err)
	}
	c, _ := merged.Column("board")
	codes, err := merged.Codes(t.Context(), "board")
	if err != nil || len(c.Levels) != rows-1 || c.Levels[1] != "odd" || codes[3] != 1 || codes[rows+1] != 1 ||
		codes[4] != 3 {
		t.Errorf("%d levels, %v …: %v", len(c.Levels), c.Levels[:4], err)
	}
	if next, err := merged.SetLevels("board", []string{"b7"}); err != nil {
		t.Error(err)
	} else if c, _ := next.Column("board"); c.Levels[0] != "b7" || len(c.Levels) != rows-1 {
		t.Errorf("levels %v … of %d", c.Levels[:2], len(c.Levels))
	}
}
