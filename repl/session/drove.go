package session

import (
	"breakbook/frames"
	"breakbook/models/verdict"
	"breakbook/repl/page"
	"breakbook/repl/say"
	"strings"
)

// Drove is what was found to have driven a response, as it is drawn: a row a difference, the strongest
// factor first.
type Drove struct {
	Of         frames.Column                // the response, or how specimens failed
	Calls      func(c frames.Column) string // that column in a sentence: "break load", "the chance of glue"
	Unit       string
	Confidence float64
	Worth      say.Worth
	Rows       []DroveRow
}

// DroveRow is one difference: what it is of, its size with its interval, and the answer.
type DroveRow struct {
	Factors []string // one, or several that changed together
	Where   string   // what it holds within, or the way of failing; "": everywhere
	Value   float64
	Range   verdict.Range
	Answer  verdict.Answer
}

// Label names the row on an axis.
func (r DroveRow) Label() string {
	label := strings.Join(r.Factors, ", ")
	if r.Where != "" {
		label += "; " + r.Where
	}
	return label
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
