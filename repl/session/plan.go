package session

import (
	"strings"

	"breakbook/frames"
	"breakbook/models/plan"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// Plan is a plan kept for a test sheet and for a picture of its chance.
type Plan struct {
	Response string       // the column to be measured; empty where the series has no load
	Factors  []string     // whose levels are combined; none: one kind of joint
	Levels   [][]string   // Of each factor, in its order
	Mode     string       // the column of failure modes, if the plan is about one
	PerLevel int          // specimens of each combination; in all, where each level has its own
	Each     []int        // specimens of each level of the one factor; nil: PerLevel of every one
	Blocks   *plan.Blocks // as they are laid out; nil without any
	Block    string       // their column
	Model    Sizer
	Finding  say.Plan // as the finding tells it

	Of  frames.Column // what the plan is about: the response, or the column of failure modes
	Aim aim
}

// Judged is a look at a series made by a plan.
type Judged struct {
	Plan  string
	Share float64 // of the planned specimens that were there
	P     float64 // that was found
	Last  bool    // nothing was planned after it
}

// aim tells what a plan is for, of its column as it is called now.
type aim func(frames.Column) page.Sentence

// Sizer is a model that says what a number of specimens gives.
type Sizer interface {
	At(perLevel int) (plan.Size, error)
	Least() (plan.Size, error)
}

func CalledBy(factors []string) string {
	switch len(factors) {
	case 0:
		return ""
	case 1:
		return "levels of " + factors[0]
	}
	return "combinations of " + strings.Join(factors, " and ")
}
