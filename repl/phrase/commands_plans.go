package phrase

// Plan asks how many specimens would do.
type Plan struct {
	Clauses
	Subject PlanSubject
	Chance  *Amount `phrase:"chance"`
	Spread  *Amount `phrase:"spread"`
	Blanks  *Count  `phrase:"blanks"`
}

// PlanSubject is what is to be shown: PlanMeans, PlanModes or PlanLimit.
type PlanSubject interface{ planSubject() }

// PlanMeans is a difference between the means of levels.
type PlanMeans struct {
	ByLevels
	B         *ColumnRef `phrase:"b"`
	Detecting *Amount    `phrase:"detecting"`
	Fit       *Name      `phrase:"fit"`
	With      *PerLevel  `phrase:"with"`
	Costing   *Prices    `phrase:"costing"`
	InStages
}

// InStages is in how many stages a series is to be made, and how its error is given out to them.
type InStages struct {
	Stages *Count `phrase:"stages"`
	Evenly bool   `phrase:"spending evenly"`
}

// PerLevel is the number of specimens of each level that a plan is asked about; nil: it finds one, or each level
// has its own.
func (p *Plan) PerLevel() *Count {
	if of, ok := p.Subject.(PlanMeans); ok && of.With != nil {
		return of.With.All
	}
	return nil
}

// HasNumber reports whether the plan is asked about a number of specimens, and finds none.
func (p *Plan) HasNumber() bool {
	of, ok := p.Subject.(PlanMeans)
	return p.Blanks != nil || ok && of.With != nil
}

// WithoutNumber has the plan find a number in place of the one it is asked about.
func (p *Plan) WithoutNumber() {
	if of, ok := p.Subject.(PlanMeans); ok {
		of.With = nil
		p.Subject = of
	}
	p.Blanks = nil
}

// PlanModes is a change in how often a way of breaking comes.
type PlanModes struct {
	Mode Is        `phrase:"mode"`
	A    ColumnRef `phrase:"a"`
	From Amount    `phrase:"share"`
	To   Amount    `phrase:"wanted"`
	Odds *Name     `phrase:"odds"`
}

// PlanLimit is how closely a characteristic value is to be known.
type PlanLimit struct {
	Y      Response   `phrase:"y"`
	A      *ColumnRef `phrase:"a"`
	Within Amount     `phrase:"within"`
}

func (PlanMeans) planSubject() {}
func (PlanModes) planSubject() {}
func (PlanLimit) planSubject() {}

// Sheet writes a test sheet to fill in.
type Sheet struct {
	Replaces
	Plan Name   `phrase:"plan"`
	File File   `phrase:"file"`
	Day  *Count `phrase:"day"`
}

// Judge asks whether a series made by a plan may end.
type Judge struct {
	Clauses
	Plan Name `phrase:"plan"`
}

// Allot gives blanks to levels.
type Allot struct {
	Replaces
	Clauses
	File      File  `phrase:"file"`
	Factor    Name  `phrase:"factor"`
	Levels    Texts `phrase:"levels"`
	Balancing Texts `phrase:"columns"`
	Sheet     *Text `phrase:"sheet"`
}

// Suggest names the joints that would narrow a fit's estimates most, or those of the blanks on hand.
type Suggest struct {
	N Count `phrase:"n"`
	OfFit
	File  *File `phrase:"file"`
	Sheet *Text `phrase:"sheet"`
}

// Separate names the joints that would distinguish two factors that changed together.
type Separate struct {
	N   Count     `phrase:"n"`
	A   ColumnRef `phrase:"a"`
	B   ColumnRef `phrase:"b"`
	Fit *Name     `phrase:"fit"`
}
