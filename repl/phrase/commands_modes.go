package phrase

// CountModes counts the ways of breaking at each level.
type CountModes struct {
	Clauses
	Mode ColumnRef `phrase:"mode"`
	A    ColumnRef `phrase:"a"`
}

// Modes gives the share of each way of breaking at each level.
type Modes struct {
	Clauses
	Mode  ColumnRef `phrase:"mode"`
	A     ColumnRef `phrase:"a"`
	Under *Response `phrase:"y"`
}

// Scatter is how the strength of one way of breaking may be taken to scatter.
type Scatter struct {
	Weibull   bool `phrase:"weibull"`
	Lognormal bool `phrase:"lognormal"`
}

// Until fits the strength of one way of breaking.
type Until struct {
	Clauses
	Y     Response `phrase:"y"`
	Mode  Is       `phrase:"mode"`
	Terms *Terms   `phrase:"terms"`
	Scatter
}

// Odds asks which factors go with the chance of breaking in one way.
type Odds struct {
	Clauses
	Subject OddsSubject
	Terms   Terms `phrase:"terms"`
}

// OddsSubject is OneMode or AllModes.
type OddsSubject interface{ oddsSubject() }

// OneMode is one way of breaking against all others.
type OneMode struct {
	Mode Is `phrase:"mode"`
}

// AllModes is each way of breaking against one.
type AllModes struct {
	Modes   ColumnRef `phrase:"modes"`
	Against *LevelRef `phrase:"against"`
}

func (OneMode) oddsSubject()  {}
func (AllModes) oddsSubject() {}

// DroveMode asks which of all columns drove how specimens failed: in one way, or in each.
type DroveMode struct {
	Clauses
	Modes ColumnRef `phrase:"modes"`
	Level *LevelRef `phrase:"level"`
	Among *Columns  `phrase:"among"`
}
