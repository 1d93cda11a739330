package figures

import (
	"context"
	"math"
	"sort"
)

// swarm moves specimens that would cover each other apart sideways: y holds their heights, apart the least distance
// between two middles, reach how far a middle may go to either side, clear what is kept free on either side of the
// middle line, all in one unit. Each specimen, from the lowest up, takes the free place nearest the middle line. ok is
// false when they need more room.
func swarm(ctx context.Context, y []float64, apart, reach, clear float64) (dx []float64, ok bool) {
	order := ordered(ctx, len(y), func(a, b int) bool { return y[a] < y[b] })

	dx = make([]float64, len(y))
	start := 0
	for n, i := range order {
		if ctx.Err() != nil {
			panic(stopped{})
		}
		for y[i]-y[order[start]] >= apart {
			start++
		}
		taken := []span{{-clear, clear}}
		for _, j := range order[start:n] {
			dy := y[i] - y[j]
			half := rootOf(apart*apart - dy*dy)
			taken = append(taken, span{dx[j] - half, dx[j] + half})
		}
		dx[i] = nearestFree(taken, n%2 == 0)
		if math.Abs(dx[i]) > reach {
			return nil, false
		}
	}
	return dx, true
}

type span struct{ lo, hi float64 }

// nearestFree is the place nearest 0 inside none of the stretches; of two equally near the left one where left says so.
func nearestFree(taken []span, left bool) float64 {
	const touch = 1e-9 // stretches that only touch a place leave it free
	lo, hi := 0.0, 0.0
	sort.Slice(taken, func(a, b int) bool { return taken[a].lo < taken[b].lo })
	for _, s := range taken { // rightwards from 0
		if s.lo < hi-touch && hi+touch < s.hi {
			hi = s.hi
		}
	}
	sort.Slice(taken, func(a, b int) bool { return taken[a].hi > taken[b].hi })
	for _, s := range taken { // leftwards from 0
		if s.lo < lo-touch && lo+touch < s.hi {
			lo = s.lo
		}
	}
	if -lo < hi-touch || -lo < hi+touch && left {
		return lo
	}
	return hi
}

// crowd spreads specimens too many for a swarm, the wider the more of them lie within near of a height, up to reach,
// and always the same way (van der Corput, 1935: the bits of the rank, mirrored).
func crowd(ctx context.Context, y []float64, reach, near float64) []float64 {
	order := ordered(ctx, len(y), func(a, b int) bool { return y[a] < y[b] })
	around, most := neighbours(y, order, near)
	dx := make([]float64, len(y))
	for n, i := range order {
		mirrored, part := 0.0, 0.5
		for k := n + 1; k > 0; k, part = k/2, part/2 {
			if k%2 == 1 {
				mirrored += part
			}
		}
		dx[i] = reach * float64(around[n]) / float64(most) * (2*mirrored - 1)
	}
	return dx
}

// neighbours counts, in order of y, how many specimens lie within near of each, itself
// among them, and the most that any has.
func neighbours(y []float64, order []int, near float64) (around []int, most int) {
	around = make([]int, len(order))
	from, to := 0, 0
	for n, i := range order {
		for y[i]-y[order[from]] > near {
			from++
		}
		for to < len(order) && y[order[to]]-y[i] <= near {
			to++
		}
		around[n] = to - from
		most = max(most, around[n])
	}
	return around, most
}
