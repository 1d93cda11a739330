// Package progress carries, in a context, the function that long work tells how far
// it has come. Who starts the work decides what is drawn, if anything.
package progress

import (
	"context"

	"breakbook/models/parallel"
)

// Func is told that done of total pieces of work are finished. It may be called from
// any goroutine and must return quickly.
type Func = func(done, total int)

// With is ctx carrying f, for the models as well.
func With(ctx context.Context, f Func) context.Context { return parallel.WithProgress(ctx, f) }

// From is the function ctx carries, or one that does nothing; it is never nil.
func From(ctx context.Context) Func { return parallel.ProgressOf(ctx) }
