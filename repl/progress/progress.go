// Package progress carries, in a context, the function that long work tells how far
// it has come. Who starts the work decides what is drawn, if anything.
package progress

import "context"

// Func is told that done of total pieces of work are finished. It may be called from
// any goroutine and must return quickly.
type Func func(done, total int)

type key struct{}

// With is ctx carrying f.
func With(ctx context.Context, f Func) context.Context {
	return context.WithValue(ctx, key{}, f)
}

// From is the function ctx carries, or one that does nothing; it is never nil.
func From(ctx context.Context) Func {
	if f, ok := ctx.Value(key{}).(Func); ok && f != nil {
		return f
	}
	return func(int, int) {}
}
