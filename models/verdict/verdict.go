// Package verdict holds the three answers a comparison can give and the rule that
// picks one, by intervals and never by a probability alone.
package verdict

import "math"

// Answer is what a comparison says about a difference.
type Answer uint8

const (
	CannotTell           Answer = iota
	Differs                     // the interval excludes zero
	NoDifferenceWorth           // the 90 % interval lies wholly inside ± worth
	DiffersLessThanWorth        // both of the above
)

// Key is the answer in the words of the language, for `answer` columns.
func (a Answer) Key() string {
	return [...]string{"cannot tell", "differs", "no difference worth having",
		"differs, by less than is worth having"}[a]
}

// Differs reports whether it says that there is a difference, of whatever size.
func (a Answer) Differs() bool { return a == Differs || a == DiffersLessThanWorth }

// Range is an interval; an end may be infinite or NaN (no limit).
type Range struct{ Low, High float64 }

// Each is the interval on a scale that rises with its own.
func (r Range) Each(f func(float64) float64) Range { return Range{Low: f(r.Low), High: f(r.High)} }

// Turned is the interval of the same size the other way round.
func (r Range) Turned() Range { return Range{Low: -r.High, High: -r.Low} }

// Decide gives the answer from the interval at the user's level, the 90 % interval of the
// same kind, and the smallest difference worth having (positive, same unit; NaN or 0: unknown).
func Decide(r, ninety Range, worth float64) Answer {
	differs := r.Low > 0 || r.High < 0
	inside := worth > 0 && ninety.Low > -worth && ninety.High < worth
	switch {
	case differs && inside:
		return DiffersLessThanWorth
	case differs:
		return Differs
	case inside:
		return NoDifferenceWorth
	default:
		return CannotTell
	}
}

// Known reports whether both ends of the interval are finite.
func (r Range) Known() bool { return !math.IsInf(r.Low-r.High, 0) && !math.IsNaN(r.Low-r.High) }
