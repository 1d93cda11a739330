package parallel

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"time"
)

func TestEveryPieceIsDoneOnce(t *testing.T) {
	for _, c := range []struct{ n, size int }{{0, 1}, {1, 1}, {7, 3}, {1000, 1}, {1000, 64}, {5, 100}} {
		done := make([]atomic.Int32, c.n)
		err := Blocks(t.Context(), c.n, c.size, func(_ context.Context, from, to int) error {
			for i := from; i < to; i++ {
				done[i].Add(1)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		for i := range done {
			if done[i].Load() != 1 {
				t.Errorf("%d pieces in runs of %d: piece %d was done %d times", c.n, c.size, i, done[i].Load())
			}
		}
	}
}

func TestTheFirstErrorStopsTheRest(t *testing.T) {
	wrong := errors.New("wrong")
	var begun atomic.Int32
	err := Each(t.Context(), 1_000_000, func(ctx context.Context, i int) error {
		begun.Add(1)
		return wrong
	})
	if !errors.Is(err, wrong) || begun.Load() > 1000 {
		t.Errorf("%v after %d pieces", err, begun.Load())
	}
}

func TestAllGivesTheErrorOfTheFirstPiece(t *testing.T) {
	first, second := errors.New("first"), errors.New("second")
	for range 50 {
		err := All(t.Context(), 4, func(_ context.Context, i int) error {
			switch i {
			case 1:
				time.Sleep(time.Millisecond)
				return first
			case 2:
				return second
			}
			return nil
		})
		if !errors.Is(err, first) {
			t.Fatalf("got %v", err)
		}
	}
}

func TestAWorkersPanicReachesTheWaiter(t *testing.T) {
	wrong := errors.New("index out of range")
	defer func() {
		p, ok := recover().(*Panic)
		if !ok || !errors.Is(p, wrong) || len(p.Stack) == 0 {
			t.Errorf("the waiter got %v", p)
		}
	}()
	_ = Each(t.Context(), 100, func(ctx context.Context, i int) error {
		if i == 50 {
			panic(wrong)
		}
		return nil
	})
	t.Error("the panic was lost")
}

func TestWorkersStopWithTheContext(t *testing.T) {
	ctx, stop := context.WithCancelCause(t.Context())
	wanted := errors.New("interrupted")
	time.AfterFunc(5*time.Millisecond, func() { stop(wanted) })
	err := Each(ctx, 1<<40, func(context.Context, int) error { return nil })
	if !errors.Is(err, wanted) {
		t.Errorf("ended with %v", err)
	}
}
