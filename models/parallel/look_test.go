package parallel

import (
	"context"
	"errors"
	"testing"
)

func TestALookLeavesTheWorkAtItsEnd(t *testing.T) {
	wanted := errors.New("interrupted")
	ctx, stop := context.WithCancelCause(t.Context())
	done := 0
	work := func() (err error) {
		defer Catch(&err)
		for i := range 10 * Breath {
			if i == Breath+1 {
				stop(wanted)
			}
			LookAt(ctx, i)
			done++
		}
		return nil
	}
	if err := work(); !errors.Is(err, wanted) || done != 2*Breath {
		t.Errorf("ended with %v after %d rows", err, done)
	}
}

func TestHeedLeavesTheWorkAtAnError(t *testing.T) {
	wanted, went := errors.New("interrupted"), 0
	work := func(given error) (err error) {
		defer Catch(&err)
		Heed(given)
		went++
		return nil
	}
	if err := work(wanted); !errors.Is(err, wanted) || went != 0 {
		t.Errorf("ended with %v, %d went on", err, went)
	}
	if err := work(nil); err != nil || went != 1 {
		t.Errorf("no error: %v, %d went on", err, went)
	}
}

func TestCatchLetsOtherPanicsPass(t *testing.T) {
	defer func() {
		if r := recover(); r != "a slip" {
			t.Errorf("recovered %v", r)
		}
	}()
	func() (err error) {
		defer Catch(&err)
		panic("a slip")
	}()
}

func TestALookInAWorkerIsTheErrorOfAll(t *testing.T) {
	ctx, stop := context.WithCancelCause(t.Context())
	wanted := errors.New("interrupted")
	err := Each(ctx, 100, func(ctx context.Context, i int) error {
		stop(wanted)
		Look(ctx)
		return nil
	})
	if !errors.Is(err, wanted) {
		t.Errorf("ended with %v", err)
	}
}

func TestProgressIsCarried(t *testing.T) {
	said := 0
	ctx := WithProgress(t.Context(), func(done, total int) { said = 100*done + total })
	ProgressOf(ctx)(3, 7)
	ProgressOf(WithProgress(ctx, nil))(4, 8)
	ProgressOf(t.Context())(5, 9)
	if said != 307 {
		t.Errorf("told %d", said)
	}
}
