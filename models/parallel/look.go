package parallel

import (
	"cmp"
	"context"
	"runtime"
	"slices"
)

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

// Sort sorts values, and looks at ctx while it does.
func Sort[T cmp.Ordered](ctx context.Context, values []T) {
	sortRuns(ctx, values, slices.Sort[[]T], cmp.Compare[T])
}

// SortFunc sorts values by compare, equal ones as they were, and looks at ctx while it does.
func SortFunc[T any](ctx context.Context, values []T, compare func(a, b T) int) {
	sortRuns(ctx, values, func(run []T) { slices.SortStableFunc(run, compare) }, compare)
}

// sortRuns sorts runs of a length that takes a few milliseconds, on all cores, and then
// merges neighbours until one run is left.
func sortRuns[T any](ctx context.Context, values []T, sort func([]T), compare func(a, b T) int) {
	const most = 1 << 15
	if len(values) <= most {
		Look(ctx)
		sort(values)
		return
	}
	run := min(2*most, max(most/4, (len(values)-1)/runtime.GOMAXPROCS(0)+1)) // one a core, where that is few
	Heed(Blocks(ctx, len(values), run, func(_ context.Context, from, to int) error {
		sort(values[from:to])
		return nil
	}))
	from, to := values, make([]T, len(values))
	for size := run; size < len(values); size *= 2 {
		Heed(Blocks(ctx, len(values), 2*size, func(ctx context.Context, at, end int) error {
			merge(ctx, to[at:end], from[at:min(at+size, end)], from[min(at+size, end):end], compare)
			return nil
		}))
		from, to = to, from
	}
	if &from[0] != &values[0] {
		copy(values, from)
	}
}

// merge puts two sorted runs together; of equal values those of a come first.
func merge[T any](ctx context.Context, into, a, b []T, compare func(a, b T) int) {
	for i := range into {
		LookAt(ctx, i)
		if len(b) == 0 || len(a) > 0 && compare(a[0], b[0]) <= 0 {
			into[i], a = a[0], a[1:]
		} else {
			into[i], b = b[0], b[1:]
		}
	}
}
