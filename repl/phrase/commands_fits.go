package phrase

import "slices"

// FitOptions are what may be asked of a fit of any kind.
type FitOptions struct {
	Blocks       *Blocks    `phrase:"blocks"`
	Weight       *ColumnRef `phrase:"weight"`
	UnevenSpread bool       `phrase:"uneven spread"`
	ThroughZero  bool       `phrase:"through zero"`
	Differ       *Amount    `phrase:"differ"` // by which series differ, where their levels are random
}

// PastSeries is the past series that are drawn into the one that a command is about.
type PastSeries struct {
	Past *NameList `phrase:"past"`
}

// DrawsPast reports whether the command draws past series in.
func (p *PastSeries) DrawsPast() bool { return p.Past != nil }

// Fit fits a response on terms.
type Fit struct {
	Clauses
	OnTerms
	FitOptions
	PastSeries
	Resistant bool `phrase:"resistant"`
}

// SeriesFixed is the fit with a term for series in place of random levels of theirs; itself where it has none.
func (f *Fit) SeriesFixed() *Fit {
	if f.Differ == nil {
		return f
	}
	out := *f
	out.Differ = nil
	out.Terms.List = append(slices.Clone(f.Terms.List), TermOf("series"))
	return &out
}

// Drove asks which of all columns drove a response.
type Drove struct {
	Clauses
	PastSeries
	Y      Response `phrase:"y"`
	Among  *Columns `phrase:"among"`
	Blocks *Blocks  `phrase:"blocks"`
	Differ *Amount  `phrase:"differ"`
}

// Anova parts the variation among the sources.
type Anova struct {
	Clauses
	Subject    AnovaSubject
	Sequential bool `phrase:"sequential"`
	EachLast   bool `phrase:"each last"`
}

// AnovaSubject is what is analysed: OfFit or AnovaOnTerms.
type AnovaSubject interface{ anovaSubject() }

// AnovaOnTerms is a fit made for the analysis.
type AnovaOnTerms struct {
	OnTerms
	FitOptions
}

func (OfFit) anovaSubject()        {}
func (AnovaOnTerms) anovaSubject() {}

// Adjusted gives the mean of each level with the other factors held equal.
type Adjusted struct {
	Clauses
	LevelsOfFit
	Given *Given `phrase:"given"`
}

// ShareOut gives each factor its share of what they explain together.
type ShareOut struct {
	Clauses
	Subject ShareSubject
}

// ShareSubject is what is shared out: OfFit, WeightedOnTerms or ModeOnTerms.
type ShareSubject interface{ shareSubject() }

// WeightedOnTerms is a response with its terms, each specimen with its weight.
type WeightedOnTerms struct {
	OnTerms
	Weight *ColumnRef `phrase:"weight"`
}

// ModeOnTerms is how likely a way of breaking is, with the terms it is fitted on.
type ModeOnTerms struct {
	Mode  Is    `phrase:"mode"`
	Terms Terms `phrase:"terms"`
}

func (OfFit) shareSubject()           {}
func (WeightedOnTerms) shareSubject() {}
func (ModeOnTerms) shareSubject()     {}

// Predict says what a fit expects for joints that are named.
type Predict struct {
	Clauses
	OfFit
	Given Given    `phrase:"given"`
	Over  *Columns `phrase:"over"`
}

// Rivals sets fits against each other.
type Rivals struct {
	Clauses
	Fits NameList `phrase:"fits"`
}
