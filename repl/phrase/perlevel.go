package phrase

// PerLevel is a number for every level, `8`, or one of its own for each that is named, `8 none, 12 pair`.
type PerLevel struct {
	All  *Count // nil: each has its own
	List []LevelCount
	At   int
}

// LevelCount is a number of specimens of one level.
type LevelCount struct {
	N     Count
	Level LevelRef
}

// Prices are what a specimen of each level that is named costs: `4 none, 6 pair`.
type Prices struct {
	List []LevelPrice
	Unit string // of a time in its canonical spelling, else the word as typed; "" for none
	At   int
}

// LevelPrice is what a specimen of one level costs.
type LevelPrice struct {
	Price float64
	Level LevelRef
	At    int
}

// Place is where the first number stands.
func (n PerLevel) Place() int { return n.At }

// Place is where the first price stands.
func (n Prices) Place() int { return n.At }
