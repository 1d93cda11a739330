package session

import (
	"strings"

	"breakbook/frames"
	"breakbook/models/design"
	"breakbook/models/plan"
	"breakbook/models/shares"
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

// PlanLook is a look at a series made by a plan.
type PlanLook struct {
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

// Shares is what a set of terms explains, parted among them, with what is needed to tell
// and draw it.
type Shares struct {
	*shares.Result
	Model design.Model
	Names []string // Of the terms
	Whole string   // what is explained: "the variation in break load"
	Conf  float64
	Quick bool // a quiet rerun: no intervals and no probabilities

	Of    frames.Column              // the response, or the column of failure modes
	Calls func(frames.Column) string // what is shared out, by the column's present name
}

// FactorRow is one factor of what drove a response, the strongest first. The size of a category is of its
// clearest pair of levels, of a number from its 10th to its 90th percentile.
type FactorRow struct {
	*FactorMode
	Factor  string        `id:"factor"`
	Answer  string        `id:"answer"`
	Size    page.Quantity `id:"size" unit:"{y}" difference:"yes"`
	Low     page.Quantity `id:"size_low" unit:"{y}" difference:"yes" label:"low"`
	High    page.Quantity `id:"size_high" unit:"{y}" difference:"yes" label:"high"`
	Percent float64       `id:"percent" style:"percent" wide:"yes"`
	Share   float64       `id:"share" style:"fraction"`
	P       float64       `id:"p" style:"p"`
	Doubt   string        `id:"doubt" wide:"yes"`
}

// FactorMode is the way of failing that a factor drove, where several are asked about.
type FactorMode struct {
	Mode string `id:"mode"`
}

// DroveValues are the figures of the fit behind what drove a response, or how specimens failed.
type DroveValues struct {
	N         int     `id:"n" label:"specimens"`
	Explained float64 `id:"explained" style:"fraction"`
	*DroveFit
}

// DroveFit is what only a fit of a response has.
type DroveFit struct {
	ExplainedUnseen float64 `id:"explained_unseen" style:"fraction" label:"explained for new specimens"`
	SD              float64 `id:"residual_sd" unit:"{y}" difference:"yes"`
	DF              float64 `id:"residual_df" style:"df" label:"residual degrees of freedom"`
}
