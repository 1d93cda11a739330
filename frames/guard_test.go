package frames

import (
	"sync"
	"testing"
)

func TestGuardRaisesWhatFellWhereItIsWaitedFor(t *testing.T) {
	var g guard
	g.check() // nothing fell yet
	var all sync.WaitGroup
	for range 3 {
		all.Go(func() { g.do(func() { panic("fell") }) })
	}
	all.Wait()
	defer func() {
		if p := recover(); p != "fell" {
			t.Errorf("recovered %v, want what fell", p)
		}
	}()
	g.check()
	t.Error("check let a fall pass")
}
