package session

import (
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// Outcome is what a handler gives beside the entry that it filled in. It changes nothing:
// naming, booking, cautions and counts are the bench's.
type Outcome struct {
	Next     *Session  // the session that a shaping command leaves; nil: as it was
	Analysis *analysis // what an analysis was about; nil for the others
	Tests    bool      // it put one more question to its response
	Keeps    *Result   // what is to be kept under a name; nil: nothing
	Parts    []any     // the commands of the analyses that its answers come from, where these are several
	Also     *Result   // another result with its own kind and command, kept before it; nil: none
}

// analysis is what every analysis command leaves for the cautions that are the same
// for all of them.
type analysis struct {
	Sample   *Sample
	Response *Response
	Columns  []string // that the analysis knows of
	Answers  []Answer // its answers, the main one first
}

// Answer is one answer of an analysis: the same difference has the same key in a rerun.
type Answer struct {
	Key     string
	Gap     say.Gap
	Finding page.Sentence
}

// Tested is the outcome of an analysis, which counts as one more test of the response: the
// report states how many there were.
func Tested(s *Sample, r *Response, columns []string, mains []Answer) *Outcome {
	return &Outcome{Analysis: &analysis{Sample: s, Response: r, Columns: columns, Answers: mains}, Tests: true}
}

// Untested is the same for what tests nothing and yet rests on the specimens, as a plan does.
func Untested(s *Sample, r *Response, columns []string, mains []Answer) *Outcome {
	return &Outcome{Analysis: &analysis{Sample: s, Response: r, Columns: columns, Answers: mains}}
}

// Keeping is the outcome with what is to be kept under a name.
func (o *Outcome) Keeping(r Result) *Outcome {
	o.Keeps = &r
	return o
}

// Becomes is the outcome of a command that leaves another session.
func Becomes(next *Session) *Outcome { return &Outcome{Next: next} }
