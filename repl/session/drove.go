package session

import "breakbook/repl/page"

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
