package session

import (
	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/shares"
)

// Shares is what a set of terms explains, parted among them, with what is needed to tell
// and draw it.
type Shares struct {
	*shares.Result
	Model   design.Model
	Names   []string // Of the terms
	Whole   string   // what is explained: "the variation in break load"
	Conf    float64
	Quick   bool // a quiet rerun: no intervals and no probabilities
	Measure string

	Of    frames.Column // the response, or the column of failure modes
	Calls calls
}

// calls tells what is parted, of its column as it is called now: the whole, and the measure.
type calls func(frames.Column) (whole, measure string)
