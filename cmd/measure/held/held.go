// Package held invents series of many kinds, and counts how often intervals hold the truth in them.
package held

import (
	"context"
	"math/rand/v2"
	"sync/atomic"

	"breakbook/models/resample"
)

// Cell is one kind of invented series: how often its 95 % intervals, or what else its
// method says, hold the truth, and what is asked of it.
type Cell struct {
	Method, Series string
	Low, High      float64 // of the share asked; 0 and 1: measured and stated only
	// start makes one worker's own try: whether the interval of one invented series (all intervals
	// of a family) holds the truth.
	start func(ctx context.Context) (try, error)
}

// try invents one series.
type try func(draw *rand.Rand) (bool, error)

// Hits counts the series whose intervals hold the truth, on every core and the same on one.
func (c Cell) Hits(ctx context.Context, seed uint64, runs int) (int64, error) {
	var held atomic.Int64
	work := resample.Work{Seed: seed, Pieces: runs, Block: 100}
	err := resample.Run(ctx, work, func() func(draw *rand.Rand, from, to int) error {
		one, err := c.start(ctx)
		return func(draw *rand.Rand, from, to int) error {
			if err != nil {
				return err
			}
			for range to - from {
				if err := ctx.Err(); err != nil {
					return err
				}
				ok, err := one(draw)
				if err != nil {
					return err
				}
				if ok {
					held.Add(1)
				}
			}
			return nil
		}
	})
	return held.Load(), err
}
