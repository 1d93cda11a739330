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
	one            try
}

// try invents one series: whether its interval (all intervals of a family) holds the truth.
type try func(ctx context.Context, draw *rand.Rand) (bool, error)

// Hits counts the series whose intervals hold the truth, on every core and the same on one.
func (c Cell) Hits(ctx context.Context, seed uint64, runs int) (int64, error) {
	var held atomic.Int64
	work := resample.Work{Seed: seed, Pieces: runs, Block: 100}
	err := resample.Run(ctx, work, func() func(draw *rand.Rand, from, to int) error {
		return func(draw *rand.Rand, from, to int) error {
			for range to - from {
				if err := ctx.Err(); err != nil {
					return err
				}
				ok, err := c.one(ctx, draw)
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
