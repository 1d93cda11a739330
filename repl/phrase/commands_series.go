package phrase

// Open reads a file of test results and makes it the current series.
type Open struct {
	Clauses
	File      File    `phrase:"file"`
	Sheet     *Text   `phrase:"sheet"`
	Separator *Choice `phrase:"separator"`
	Decimal   *Choice `phrase:"decimal"`
	Thousands *Choice `phrase:"thousands"`
	Encoding  *Texts  `phrase:"encoding"`
	Header    *Count  `phrase:"header"`
	NoHeader  bool    `phrase:"header none"`
	Units     *Count  `phrase:"units"`
	Missing   *Texts  `phrase:"missing"`
	Dates     *Choice `phrase:"dates"`
}

// ShowSeries lists the open series.
type ShowSeries struct{}

// ShowResult gives a result whole, as its entry had it.
type ShowResult struct {
	Result Name `phrase:"result"`
}

// ShowCaution gives a caution whole.
type ShowCaution struct {
	Number Count `phrase:"number"`
}

// ShowResults lists the results there are.
type ShowResults struct{}

// ShowAside lists the specimens set aside.
type ShowAside struct{ Clauses }

// SwitchTo makes another open series the current one.
type SwitchTo struct {
	Series Name `phrase:"series"`
}

// Look describes the columns of a series; no columns: all of them.
type Look struct {
	Clauses
	Columns *Columns `phrase:"columns"`
}

// Rows shows specimens as read.
type Rows struct {
	Clauses
	Extent *Extent `phrase:"extent"`
}

// Mark gives a column its role.
type Mark struct {
	Column ColumnRef `phrase:"column"`
	Role   Choice    `phrase:"role"`
}

// SetUnit says what unit a column is in.
type SetUnit struct {
	Column ColumnRef `phrase:"column"`
	Unit   UnitRef   `phrase:"unit"`
}

// Treat says what kind of column a column is.
type Treat struct {
	Column ColumnRef `phrase:"column"`
	Kind   Choice    `phrase:"kind"`
}

// OrderLevels puts the levels of a column in order, the baseline first.
type OrderLevels struct {
	Column ColumnRef `phrase:"column"`
	Levels Levels    `phrase:"levels"`
}

// MergeLevels makes one level of several.
type MergeLevels struct {
	Levels Levels    `phrase:"levels"`
	Into   Text      `phrase:"into"`
	Column ColumnRef `phrase:"column"`
}

// Rename gives a column another name.
type Rename struct {
	Column ColumnRef `phrase:"column"`
	Name   Text      `phrase:"name"`
}

// Convert turns a column's numbers into another unit.
type Convert struct {
	Column ColumnRef `phrase:"column"`
	Unit   UnitRef   `phrase:"unit"`
}

// WorkOut makes a new column of others.
type WorkOut struct {
	Name       Text       `phrase:"name"`
	Expression Expression `phrase:"expression"`
}

// Band cuts a number column into levels.
type Band struct {
	Clauses
	Column  ColumnRef `phrase:"column"`
	Subject BandSubject
}

// BandSubject says where the column is cut: BandInto or BandAt.
type BandSubject interface{ bandSubject() }

// BandInto asks for levels with about as many specimens each.
type BandInto struct {
	N Count `phrase:"n"`
}

// BandAt names the values to cut at.
type BandAt struct {
	Cuts Amounts `phrase:"cuts"`
}

func (BandInto) bandSubject() {}
func (BandAt) bandSubject()   {}

// SetAside leaves specimens out.
type SetAside struct {
	Which  Which `phrase:"which"`
	Reason Text  `phrase:"reason"`
}

// Correct puts a value right, or fills an empty cell in.
type Correct struct {
	Column   ColumnRef   `phrase:"column"`
	Specimen SpecimenRef `phrase:"specimen"`
	Value    Cell        `phrase:"value"`
	New      bool        `phrase:"new"` // a level that the column does not have yet
	Reason   *Text       `phrase:"reason"`
}

// CheckSeries looks at the rows of a series as a careful reader would.
type CheckSeries struct{ Clauses }

// BringBack takes specimens in again.
type BringBack struct {
	Which Which `phrase:"which"`
}

// Pool puts series one below the other.
type Pool struct {
	List NameList `phrase:"list"`
	Name Name     `phrase:"name"`
}

// PutBeside puts the columns of two series side by side.
type PutBeside struct {
	First  Name      `phrase:"first"`
	Second Name      `phrase:"second"`
	Key    ColumnRef `phrase:"key"`
	Name   Name      `phrase:"name"`
}

// PutBelow puts blocks of columns of the current series one below the other.
type PutBelow struct {
	First Columns `phrase:"first"`
	More  Stack   `phrase:"more"`
	Name  Name    `phrase:"name"`
}

// ReadCurves adds what load-slip readings show to the current series.
type ReadCurves struct {
	Files  Files     `phrase:"files"`
	Key    ColumnRef `phrase:"key"`
	Taking *Taking   `phrase:"taking"`
	Drop   *Amount   `phrase:"drop"`
	Sheet  *Text     `phrase:"sheet"`
}

// Taking names the columns of the readings.
type Taking struct {
	Load Text `phrase:"load"`
	Slip Text `phrase:"slip"`
}

// Calibrate corrects a column by the table of its gauge.
type Calibrate struct {
	Column ColumnRef `phrase:"column"`
	File   File      `phrase:"file"`
	Sheet  *Text     `phrase:"sheet"`
}

// Adjust brings a column to reference conditions, by the slopes of a fit or by one that is given.
type Adjust struct {
	Clauses
	Column ColumnRef `phrase:"column"`
	Given  Given     `phrase:"given"`
	Fit    *Name     `phrase:"fit"`
	Slope  *Slope    `phrase:"slope"`
}

// Slope is how much a column changes for a step of another.
type Slope struct {
	Rate Amount    `phrase:"rate"` // a share of the column's own value, or an amount
	Step Amount    `phrase:"step"`
	Per  ColumnRef `phrase:"beside"`
}

// Write writes a series as a CSV.
type Write struct {
	Replaces
	Clauses
	File File `phrase:"file"`
}

// Close puts a series away.
type Close struct {
	Series Name `phrase:"series"`
}

// Forget drops a result.
type Forget struct {
	Result Name `phrase:"result"`
}
