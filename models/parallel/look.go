package parallel

import "context"

// Stopped is what Look panics with: the loop it is called in, and whoever called that, is
// left at once, up to the Catch of whoever gave out the work. It spares every small
// function with a long loop an error that could only ever be the end of its context.
type Stopped struct{ Cause error }

func (s Stopped) Error() string { return s.Cause.Error() }

// Look leaves the work that it is called in once ctx is done. It costs a few nanoseconds:
// a loop over rows calls it every Breath rows or so (LookAt), one over groups, draws or
// sortings at each.
func Look(ctx context.Context) {
	if ctx.Err() != nil {
		panic(Stopped{context.Cause(ctx)})
	}
}

// Breath is how many rows are passed between looks at the context.
const Breath = 1 << 12

// LookAt is Look at every Breath-th row.
func LookAt(ctx context.Context, row int) {
	if row%Breath == 0 {
		Look(ctx)
	}
}

// Catch is deferred by whoever gives out work that may Look: its end becomes the error. Any
// other panic goes on.
func Catch(err *error) {
	switch r := recover().(type) {
	case nil:
	case Stopped:
		*err = r.Cause
	default:
		panic(r)
	}
}

// Heed is Look by what Each, or the like, gave back: it leaves the work where err is one.
func Heed(err error) {
	if err != nil {
		panic(Stopped{err})
	}
}
