package session

import (
	"sync"

	"breakbook/frames"
)

const (
	// mostRefits is how many fits are kept at once, and mostRefitted of how many specimens.
	mostRefits   = 64
	mostRefitted = 2000
)

// refits are what quiet reruns fitted on a series as it stands, by their lines, so that the next question about the
// same answers does not fit them again. A session and what it becomes share them.
type refits struct {
	mu   sync.Mutex
	of   *frames.Frame
	made map[string]any
}

// Refit is what a quiet rerun fitted on these specimens by this line before, where that is still at hand.
func (s *Session) Refit(f *frames.Frame, line string) (any, bool) {
	s.refits.mu.Lock()
	defer s.refits.mu.Unlock()
	if s.refits.of != f {
		return nil, false
	}
	fit, ok := s.refits.made[line]
	return fit, ok
}

// KeepRefit keeps the fit of a quiet rerun, of one series at a time and no long one.
func (s *Session) KeepRefit(f *frames.Frame, line string, fit any) {
	if f.Len() > mostRefitted {
		return
	}
	s.refits.mu.Lock()
	defer s.refits.mu.Unlock()
	if s.refits.of != f || len(s.refits.made) == mostRefits {
		s.refits.of, s.refits.made = f, map[string]any{}
	}
	s.refits.made[line] = fit
}
