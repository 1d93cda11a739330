package session

import (
	"breakbook/models/verdict"
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
	Columns  []string              // that the analysis knows of
	Answers  []Answer              // its answers, the main one first
	Between  map[string][2]float64 // that its answers tell numbers between; nil: the lowest and the highest seen
}

// Answer is one answer of an analysis: the same difference has the same key in a rerun.
type Answer struct {
	Key     string
	Gap     say.Gap
	Finding page.Sentence
	Among   *verdict.Answer // what is told among all that is asked about at once; nil: the gap's own answer
}

// Told is the answer that is told.
func (a Answer) Told() verdict.Answer {
	if a.Among != nil {
		return *a.Among
	}
	return a.Gap.Answer
}

// Differs reports whether a rerun gives another answer: the one that is told, where both are told among others.
func (a Answer) Differs(from Answer) bool {
	if a.Among != nil && from.Among != nil {
		return *a.Among != *from.Among
	}
	return a.Gap.Answer != from.Gap.Answer
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
