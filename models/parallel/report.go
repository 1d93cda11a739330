package parallel

import "context"

// Progress is called as done of total pieces of work are finished, total being the most
// there can be. It may be called from any goroutine and returns quickly.
type Progress func(done, total int)

type progressKey struct{}

// WithProgress is ctx carrying p; nil: nobody asks how far work under it has come.
func WithProgress(ctx context.Context, p Progress) context.Context {
	return context.WithValue(ctx, progressKey{}, p)
}

// ProgressOf is what ctx carries, or one that does nothing; it is never nil.
func ProgressOf(ctx context.Context) Progress {
	if p, ok := ctx.Value(progressKey{}).(Progress); ok && p != nil {
		return p
	}
	return func(int, int) {}
}
