// Package resample draws at random on every core and gives the same answer on one: the
// work is split into blocks, and each block draws from a stream of its own that the seed
// and the number of the block settle between them.
package resample

import (
	"context"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"sync/atomic"

	"breakbook/models/parallel"
)

// Work is n pieces of random work.
type Work struct {
	Seed   uint64
	Pieces int // how many
	Block  int // pieces that share a stream; part of what the answer depends on, like the seed
	// Progress is given how many pieces are done, from any goroutine; nil: nobody asks.
	Progress func(done, total int)
}

// Stream is the source of random numbers of one block of a seed: ChaCha8 (Bernstein 2008,
// eight rounds) keyed by both, so that no two blocks share a sequence.
func Stream(seed uint64, block int) *rand.Rand {
	var key [32]byte
	binary.LittleEndian.PutUint64(key[:], seed)
	binary.LittleEndian.PutUint64(key[8:], uint64(block))
	return rand.New(rand.NewChaCha8(key))
}

// Run does all pieces. Each core gets a worker from start, with whatever it needs to
// itself; the worker is called once a block, in no order, with the block's stream and the
// pieces from ≤ i < to, and writes what came of piece i where only piece i is kept. A
// worker that takes long must look at ctx itself. The error is the first worker's, or
// ctx's own: no block is begun once ctx is done.
func Run(ctx context.Context, w Work, start func() func(draw *rand.Rand, from, to int) error) error {
	size := max(w.Block, 1)
	var done atomic.Int64
	return parallel.Workers(ctx, w.Pieces, size, func() func(context.Context, int, int) error {
		work := start()
		return func(_ context.Context, from, to int) error {
			if err := work(Stream(w.Seed, from/size), from, to); err != nil {
				return err
			}
			if n := done.Add(int64(to - from)); w.Progress != nil {
				w.Progress(int(n), w.Pieces)
			}
			return nil
		}
	})
}

// BlockFor is a block size for pieces that cost about that many steps of a nanosecond
// each: one to a thousand pieces, a few milliseconds of work.
func BlockFor(cost int) int {
	const steps = 4_000_000
	return max(1, min(1000, steps/max(cost, 1)))
}

// Pick draws m of the values to the front of the slice, every choice and order of m
// alike (Fisher & Yates 1938, cut short). Places are 32 bits times what is left, drawn again
// where that would favour some (Lemire 2019), two from each draw of 64 bits.
func Pick(draw *rand.Rand, values []float64, m int) {
	if len(values) > math.MaxInt32 {
		panic("resample.Pick: more values than 31 bits count")
	}
	var bits uint64
	halves := 0
	for i := range m {
		n := uint64(len(values) - i)
		for {
			if halves == 0 {
				bits, halves = draw.Uint64(), 2
			}
			product := (bits & math.MaxUint32) * n
			bits, halves = bits>>32, halves-1
			if low := product & math.MaxUint32; low >= n || low >= (1<<32-n)%n {
				j := i + int(product>>32)
				values[i], values[j] = values[j], values[i]
				break
			}
		}
	}
}

// Within puts the values of from into to, those of each block (the places of its values)
// in an order drawn anew; room has space for the longest block.
func Within(draw *rand.Rand, blocks [][]int, from, to, room []float64) {
	for _, places := range blocks {
		room := room[:len(places)]
		for k, at := range places {
			room[k] = from[at]
		}
		Pick(draw, room, len(room))
		for k, at := range places {
			to[at] = room[k]
		}
	}
}
