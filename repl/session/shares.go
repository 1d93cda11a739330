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
	Calls wording
}

// wording says what is shared out, by its column's present name: the whole, and the measure.
type wording func(frames.Column) (whole, measure string)
