package kernel

import (
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// outcome is what a handler gives beside the entry that it filled in. It changes nothing:
// naming, booking, cautions and counts are the bench's.
type outcome struct {
	next     *Session  // the session that a shaping command leaves; nil: as it was
	analysis *analysis // what an analysis was about; nil for the others
	tests    bool      // it put one more question to its response
	keeps    *result   // what is to be kept under a name; nil: nothing
}

// analysis is what every analysis command leaves for the cautions that are the same
// for all of them.
type analysis struct {
	sample   *sample
	response *response
	columns  []string // that the analysis knows of
	mains    []main   // its answers, the main one first
}

// main is one answer of an analysis: the same difference has the same key in a rerun.
type main struct {
	key  string
	gap  say.Gap
	told page.Sentence
}

// answered is the outcome of an analysis, which counts as one more test of the response: the
// report states how many there were.
func answered(s *sample, r *response, columns []string, mains []main) *outcome {
	return &outcome{analysis: &analysis{sample: s, response: r, columns: columns, mains: mains}, tests: true}
}

// rested is the same for what tests nothing and yet rests on the specimens, as a plan does.
func rested(s *sample, r *response, columns []string, mains []main) *outcome {
	return &outcome{analysis: &analysis{sample: s, response: r, columns: columns, mains: mains}}
}

// keeping is the outcome with what is to be kept under a name.
func (o *outcome) keeping(r result) *outcome {
	o.keeps = &r
	return o
}

// becomes is the outcome of a command that leaves another session.
func becomes(next *Session) *outcome { return &outcome{next: next} }
