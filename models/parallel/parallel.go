// Package parallel is the one way in which breakbook uses several cores. In comes a
// number of pieces of work and a function that does some of them; out comes the first
// error. A panic in a worker is handed to the goroutine that waits, so that whoever
// recovers there keeps the session; a worker begins no further piece once the context
// is done.
package parallel

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// Panic is what a worker panicked with, raised again where its work is waited for.
type Panic struct {
	Value any
	Stack []byte // of the worker
}

func (p *Panic) Error() string { return fmt.Sprint(p.Value) }

// Unwrap gives the error a worker panicked with, nil where it was none.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// Each calls work once for every piece 0 ≤ i < n, in no order, on as many cores as there
// are. The error is the first that a piece gave, or the cause of ctx's end; no piece is
// begun after either. A piece that takes long must look at ctx itself. Each returns, or
// panics with *Panic, only when no worker is at work any more.
func Each(ctx context.Context, n int, work func(ctx context.Context, i int) error) error {
	return Blocks(ctx, n, 1, func(ctx context.Context, from, _ int) error { return work(ctx, from) })
}

// All is Each where every piece is done whatever others give: the error is that of the
// first piece, in their order, that has one, so that it does not depend on the cores.
func All(ctx context.Context, n int, work func(ctx context.Context, i int) error) error {
	failed := make([]error, n)
	err := Each(ctx, n, func(ctx context.Context, i int) error {
		failed[i] = work(ctx, i)
		return nil
	})
	for _, f := range failed {
		if f != nil {
			return f
		}
	}
	return err
}

// Blocks calls work for runs of pieces from ≤ i < to, each of size pieces but for the
// last, in no order. Otherwise it is as Each.
func Blocks(ctx context.Context, n, size int, work func(ctx context.Context, from, to int) error) error {
	return Workers(ctx, n, size, func() func(context.Context, int, int) error { return work })
}

// Workers is Blocks where each core's worker comes from start, with whatever it needs
// to itself.
func Workers(ctx context.Context, n, size int, start func() func(ctx context.Context, from, to int) error) error {
	size = max(size, 1)
	blocks := (n + size - 1) / size
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var next atomic.Int64
	var broken atomic.Pointer[Panic]
	worker := func() {
		defer func() {
			if r := recover(); r != nil {
				if stopped, ok := r.(Stopped); ok {
					stop(stopped.Cause)
					return
				}
				p, known := r.(*Panic)
				if !known {
					p = &Panic{Value: r, Stack: debug.Stack()}
				}
				broken.CompareAndSwap(nil, p)
				stop(p)
			}
		}()
		work := start()
		for ctx.Err() == nil {
			block := int(next.Add(1)) - 1
			if block >= blocks {
				return
			}
			if err := work(ctx, block*size, min(n, (block+1)*size)); err != nil {
				stop(err)
				return
			}
		}
	}
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), blocks) - 1 {
		all.Go(worker)
	}
	worker() // who waits works too: a single block needs no other core
	all.Wait()
	if p := broken.Load(); p != nil {
		panic(p)
	}
	return context.Cause(ctx)
}
