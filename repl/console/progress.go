package console

import (
	"io"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
)

// patience is how long work may take before a bar is shown.
const patience = 400 * time.Millisecond

// Progress draws a bar for work that takes long, on a terminal only.
type Progress struct {
	out     io.Writer
	started time.Time

	mu   sync.Mutex
	bar  *progressbar.ProgressBar
	over bool
}

// StartProgress prepares a bar on out; nothing is drawn before the work has taken
// a while.
func StartProgress(out io.Writer) *Progress {
	return &Progress{out: out, started: time.Now()}
}

// Report says that done of total pieces of work are finished. It may be called
// from any goroutine, also after Finish, when it does nothing.
func (p *Progress) Report(done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.over || total <= 0 || time.Since(p.started) < patience {
		return
	}
	if p.bar == nil {
		p.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(p.out),
			progressbar.OptionSetDescription("working (Ctrl-C stops it)"),
			progressbar.OptionSetWidth(20),
			progressbar.OptionThrottle(65*time.Millisecond),
			progressbar.OptionShowCount(),
			progressbar.OptionClearOnFinish())
	}
	if p.bar.GetMax() != total {
		p.bar.ChangeMax(total)
	}
	// A bar that cannot be drawn is no reason to stop the work.
	_ = p.bar.Set(min(done, total))
}

// Wait draws that the end of what was stopped before is waited for, until it is over or
// the bar is finished; nil is over already.
func (p *Progress) Wait(over <-chan struct{}) {
	for n := 0; over != nil; n++ {
		select {
		case <-over:
			p.turn(-1)
			return
		case <-time.After(spin):
		}
		if !p.turn(n) {
			return
		}
	}
}

// spin is how long a turn of the wheel takes that stands for an unknown end.
const spin = 100 * time.Millisecond

// turn draws the n-th turn of the wheel, or takes the wheel away (n < 0), unless the bar is finished.
func (p *Progress) turn(n int) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.over {
		return false
	}
	switch {
	case n >= 0 && time.Since(p.started) >= patience:
		if p.bar == nil {
			p.bar = progressbar.NewOptions(-1,
				progressbar.OptionSetWriter(p.out),
				progressbar.OptionSetDescription("ending what was stopped"),
				progressbar.OptionClearOnFinish())
		}
		_ = p.bar.Add(1)
	case n < 0 && p.bar != nil:
		_ = p.bar.Clear()
		p.bar = nil
	}
	return true
}

// Finish takes the bar off the screen; later reports are ignored.
func (p *Progress) Finish() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.over = true
	if p.bar != nil {
		_ = p.bar.Clear()
	}
}
