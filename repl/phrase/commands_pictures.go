package phrase

// Picture is how any picture may be wished.
type Picture struct {
	Replaces
	Size   *Size `phrase:"size"`
	Titled *Text `phrase:"title"`
}

// Size is that of a picture in mm.
type Size struct {
	Width  Count `phrase:"width"`
	Height Count `phrase:"height"`
}

// Zero is whether the axis of a picture begins at zero.
type Zero struct {
	FromZero bool `phrase:"from zero"`
}

// DrawBy shows every specimen by level, by two columns the levels of one within those of the other, or
// one after the other in test order.
type DrawBy struct {
	Clauses
	ByLevels
	Within    *ColumnRef `phrase:"b"`
	OverOrder bool       `phrase:"over order"`
	Zero
	Picture
}

// DrawModes shows the share of each way of breaking.
type DrawModes struct {
	Clauses
	Mode ColumnRef `phrase:"mode"`
	A    ColumnRef `phrase:"a"`
	Picture
}

// DrawAgainst shows one number against another.
type DrawAgainst struct {
	Clauses
	Y   Response   `phrase:"y"`
	X   ColumnRef  `phrase:"x"`
	A   *ColumnRef `phrase:"a"`
	Fit *Name      `phrase:"fit"`
	Zero
	Picture
}

// DrawCurves shows load-slip curves.
type DrawCurves struct {
	Clauses
	A *ColumnRef `phrase:"a"`
	Picture
}

// DrawUntil shows the share still holding as the load rises.
type DrawUntil struct {
	Clauses
	Y    Response   `phrase:"y"`
	Mode Is         `phrase:"mode"`
	A    *ColumnRef `phrase:"a"`
	Scatter
	Picture
}

// DrawShares shows the share of each factor.
type DrawShares struct {
	Clauses
	Shares Name `phrase:"shares"`
	Picture
}

// DrawGaps shows the differences of an answer, a row each, beside none and the size worth having.
type DrawGaps struct {
	Clauses
	Gaps Name `phrase:"gaps"`
	Picture
}

// DrawChance shows the chance of a plan.
type DrawChance struct {
	Clauses
	Plan Name `phrase:"plan"`
	Picture
}

// DrawResiduals shows the residuals of a fit.
type DrawResiduals struct {
	Clauses
	OfFit
	X         *ColumnRef `phrase:"x"`
	OverOrder bool       `phrase:"over order"`
	Picture
}

// DrawEffects shows what each term of a fit does.
type DrawEffects struct {
	Clauses
	OfFit
	Picture
}

// DrawAdjusted shows the adjusted means of a fit.
type DrawAdjusted struct {
	Clauses
	LevelsOfFit
	Zero
	Picture
}

// DrawAll draws every picture there is of a result.
type DrawAll struct {
	Clauses
	Replaces
	Result Name  `phrase:"result"`
	Size   *Size `phrase:"size"`
}

// SketchBy sketches every specimen by level.
type SketchBy struct {
	Clauses
	ByLevels
}

// SketchAgainst sketches one number against another.
type SketchAgainst struct {
	Clauses
	Y Response   `phrase:"y"`
	X ColumnRef  `phrase:"x"`
	A *ColumnRef `phrase:"a"`
}
