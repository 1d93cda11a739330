package parallel

import (
	"context"
	"math"
	"runtime"
	"slices"
)

const (
	digit  = 11 // bits
	digits = 6  // of 64 bits
)

// Sort puts numbers in order, NaN first, and looks at ctx while it does. Many are dealt out by
// one digit of their bits after the other, the lowest first (Knuth, The Art of Computer
// Programming 3, 5.2.5), which is several times as quick as to compare them; whole numbers
// must then be within ±2⁵³.
func Sort[T int | float64](ctx context.Context, values []T) {
	const few = 1 << 10
	if len(values) <= few {
		Look(ctx)
		slices.Sort(values)
		return
	}
	from, to := make([]uint64, len(values)), make([]uint64, len(values))
	var starts [digits][1 << digit]int
	for i, v := range values {
		LookAt(ctx, i)
		from[i] = rising(float64(v))
		for d := range starts {
			starts[d][digitOf(from[i], d)]++
		}
	}
	for d := range starts {
		start := &starts[d]
		if start[digitOf(from[0], d)] == len(values) {
			continue // all alike
		}
		before := 0
		for k, n := range start {
			start[k], before = before, before+n
		}
		for i, key := range from {
			LookAt(ctx, i)
			k := digitOf(key, d)
			to[start[k]] = key
			start[k]++
		}
		from, to = to, from
	}
	for i, key := range from {
		values[i] = T(number(key))
	}
}

// rising are bits that rise with the value, as whole numbers: those of zero or more get the
// sign, all of the others are turned round. NaN has the lowest.
func rising(v float64) uint64 {
	if math.IsNaN(v) {
		return 0
	}
	bits := math.Float64bits(v)
	return bits ^ (uint64(int64(bits)>>63) | 1<<63)
}

// number is the value of rising bits.
func number(key uint64) float64 {
	return math.Float64frombits(key ^ (uint64(int64(^key)>>63) | 1<<63))
}

func digitOf(key uint64, d int) uint64 { return key >> (digit * d) & (1<<digit - 1) }

// SortFunc sorts values by compare, equal ones as they were, and looks at ctx while it does:
// in runs of a length that takes a few milliseconds, on all cores, whose neighbours are then
// merged until one is left.
func SortFunc[T any](ctx context.Context, values []T, compare func(a, b T) int) {
	const most = 1 << 15
	if len(values) <= most {
		Look(ctx)
		slices.SortStableFunc(values, compare)
		return
	}
	run := min(2*most, max(most/4, (len(values)-1)/runtime.GOMAXPROCS(0)+1)) // one a core, where that is few
	Heed(Blocks(ctx, len(values), run, func(_ context.Context, from, to int) error {
		slices.SortStableFunc(values[from:to], compare)
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
