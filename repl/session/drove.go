package session

import (
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
)

// Driven is what was found of one factor that may have driven something.
type Driven struct {
	*Factor
	P      float64 // that it does nothing anywhere
	Joined float64 // by Holm's correction over all that is asked about
	Answer verdict.Answer
	Alone  bool // it differs taken alone, but not among so many factors
	Share  float64
}

// Decide gives the factor its answer, that of all its differences, where Holm's correction bears it out.
func (t *Driven) Decide(answers []verdict.Answer, joined, level float64) {
	t.Joined, t.Answer = joined, say.Overall(answers)
	if t.Answer.Differs() && !(joined < level) {
		t.Answer, t.Alone = verdict.CannotTell, true
	}
}

// ByAnswer parts what was found into what differs, what makes no difference worth having, and what cannot be told.
func ByAnswer[T any](all []T, answer func(T) verdict.Answer) (driving, none, untold []T) {
	for _, t := range all {
		switch a := answer(t); {
		case a.Differs():
			driving = append(driving, t)
		case a == verdict.NoDifferenceWorth:
			none = append(none, t)
		default:
			untold = append(untold, t)
		}
	}
	return driving, none, untold
}

// LeftOutTable names the columns that were not tried.
func LeftOutTable(left []LeftOut) page.Table {
	return page.Filled(page.Table{ID: "left_out", Title: page.Say("Columns that were not tried")}, left, nil)
}

// FactorRow is one factor of what drove a response, the strongest first. The size of a category is of its
// clearest pair of levels, of a number from its 10th to its 90th percentile.
type FactorRow struct {
	*FactorMode
	Factor  string        `id:"factor"`
	Answer  string        `id:"answer"`
	Size    page.Quantity `id:"size" unit:"{y}"`
	Low     page.Quantity `id:"size_low" unit:"{y}" label:"low"`
	High    page.Quantity `id:"size_high" unit:"{y}" label:"high"`
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
	SD              float64 `id:"residual_sd" unit:"{y}"`
	DF              float64 `id:"residual_df" style:"df" label:"residual degrees of freedom"`
}
