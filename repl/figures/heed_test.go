package figures

import (
	"context"
	"errors"
	"testing"
	"time"

	"breakbook/repl/page"
)

// afterSome is a context that is done once it was asked so many times.
type afterSome struct {
	context.Context
	left int
}

func (c *afterSome) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestDrawingStopsWhereverItIs(t *testing.T) {
	crowd := page.Points{}
	for i := range 3000 {
		crowd.X = append(crowd.X, float64(i%2))
		crowd.Y = append(crowd.Y, float64(i*7919%3001))
	}
	byLevel := page.Figure{X: page.Axis{Levels: []string{"none", "pair"}}, Layers: []page.Layer{crowd}}
	for format := range backs {
		for name, f := range map[string]page.Figure{"by level": byLevel, "against": {Layers: []page.Layer{crowd}}} {
			whole := &afterSome{t.Context(), 1 << 60}
			if _, err := Bytes(whole, f, format); err != nil {
				t.Fatal(err)
			}
			looks := 1<<60 - whole.left
			if looks < len(crowd.X)/handful {
				t.Errorf("%s %s: the context was looked at %d times", format, name, looks)
			}
			for _, after := range []int{0, 1, looks / 2, looks - 1} {
				if b, err := Bytes(&afterSome{t.Context(), after}, f, format); b != nil ||
					!errors.Is(err, context.Canceled) {
					t.Errorf("%s %s stopped after %d of %d looks: %d bytes, %v", format, name, after, looks, len(b),
						err)
				}
			}
		}
	}
}

func TestSortingStopsWithTheContext(t *testing.T) {
	ctx, stop := context.WithDeadline(t.Context(), time.Unix(0, 0))
	defer stop()
	defer func() {
		if _, ok := recover().(stopped); !ok {
			t.Error("a sort of a hundred thousand ended although its context was done")
		}
	}()
	ordered(ctx, 100_000, func(a, b int) bool { return a*7919%100_003 < b*7919%100_003 })
}
