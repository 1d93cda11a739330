package phrase

// ByLevels is a response by the levels of a category.
type ByLevels struct {
	Y Response  `phrase:"y"`
	A ColumnRef `phrase:"a"`
}

// OfFit is an earlier fit, the latest where none was typed.
type OfFit struct {
	Fit Name `phrase:"fit"`
}

// LevelsOfFit is a category of an earlier fit, averaged over what it is combined with where that was
// typed.
type LevelsOfFit struct {
	A    ColumnRef `phrase:"a"`
	Fit  Name      `phrase:"fit"`
	Over *Columns  `phrase:"over"`
}

// OnTerms is a response with the terms it is fitted on.
type OnTerms struct {
	Y     Response `phrase:"y"`
	Terms Terms    `phrase:"terms"`
}

// Average gives mean and spread of each group.
type Average struct {
	Clauses
	ByLevels
	B *ColumnRef `phrase:"b"`
}

// Check asks whether the assumptions hold.
type Check struct {
	Clauses
	Subject CheckSubject
}

// CheckSubject is what is checked: ByLevels or OfFit.
type CheckSubject interface{ checkSubject() }

func (ByLevels) checkSubject() {}
func (OfFit) checkSubject()    {}

// Compare sets levels against each other, or means against a figure.
type Compare struct {
	Clauses
	Subject      CompareSubject
	Against      *LevelRef `phrase:"against"`
	UnevenSpread bool      `phrase:"uneven spread"`
	Ranked       bool      `phrase:"ranked"`
	Reshuffled   bool      `phrase:"reshuffled"`
	Times        *Count    `phrase:"times"`
	Costing      *Prices   `phrase:"costing"`
}

// CompareSubject is what is compared: ByLevels, LevelsOfFit or WithFigure.
type CompareSubject interface{ compareSubject() }

// WithFigure is a response, by the levels of a category or as a whole, and the figure its
// means are compared with.
type WithFigure struct {
	Y      Response   `phrase:"y"`
	Figure Amount     `phrase:"figure"`
	A      *ColumnRef `phrase:"a"`
}

func (ByLevels) compareSubject()    {}
func (LevelsOfFit) compareSubject() {}
func (WithFigure) compareSubject()  {}

// Characteristic is what nearly all joints of a level, or of a kind, exceed.
type Characteristic struct {
	Clauses
	Subject  CharacteristicSubject
	Exceeded *Amount `phrase:"exceeded"`
}

// CharacteristicSubject is whose limit it is: LimitsByLevels or LimitsOfFit.
type CharacteristicSubject interface{ characteristicSubject() }

// LimitsByLevels is each level of a category, and how its limit is worked out.
type LimitsByLevels struct {
	ByLevels
	Blocks    *Blocks `phrase:"blocks"`
	Normal    bool    `phrase:"normal"`
	Lognormal bool    `phrase:"lognormal"`
	Ranked    bool    `phrase:"ranked"`
}

// LimitsOfFit is joints that are named, as an earlier fit knows them.
type LimitsOfFit struct {
	OfFit
	Given Given `phrase:"given"`
}

func (LimitsByLevels) characteristicSubject() {}
func (LimitsOfFit) characteristicSubject()    {}

// Same asks whether levels carry the same within a margin.
type Same struct {
	Clauses
	ByLevels
	Within  Amount    `phrase:"within"`
	Against *LevelRef `phrase:"against"`
}

// Agree asks whether past series tell one story.
type Agree struct {
	Clauses
	Subject AgreeSubject
	Series  ColumnRef `phrase:"series"`
}

// AgreeSubject is what the series may agree on: AgreeMean or AgreeEffect.
type AgreeSubject interface{ agreeSubject() }

// AgreeMean is the mean of a response.
type AgreeMean struct {
	Y Response `phrase:"y"`
}

// AgreeEffect is the difference between levels in the column marked as load.
type AgreeEffect struct {
	A       ColumnRef `phrase:"a"`
	Against LevelRef  `phrase:"against"`
}

// AgreeMeasure is the difference between levels in another measure.
type AgreeMeasure struct {
	Y Response `phrase:"y"`
	AgreeEffect
}

func (AgreeMean) agreeSubject()   {}
func (AgreeEffect) agreeSubject() {}
