package frames

import "sync"

// guard lets work that goes on side by side fail as it would in one place: what
// panics in a goroutine is raised again by whoever waits for it.
type guard struct {
	once sync.Once
	fell any
}

// do runs a piece of the work.
func (g *guard) do(work func()) {
	defer func() {
		if p := recover(); p != nil {
			g.once.Do(func() { g.fell = p })
		}
	}()
	work()
}

// check is for when all the work has ended.
func (g *guard) check() {
	if g.fell != nil {
		panic(g.fell)
	}
}
