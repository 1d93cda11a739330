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

// Finish takes the bar off the screen; later reports are ignored.
func (p *Progress) Finish() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.over = true
	if p.bar != nil {
		_ = p.bar.Clear()
	}
}
