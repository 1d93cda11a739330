package page

// Figure is a picture to be drawn: what is on it, not how it looks. Path is where it goes: a file ending in .png, .svg
// or .pdf; without a folder it goes to the book's folder, and when empty it gets a numbered name there.
type Figure struct {
	Path              string
	NewFolder         bool     // the folder of Path is made where it is not there yet
	Alt               Sentence // what a person who cannot see it needs to know
	WidthMM, HeightMM float64  // zero: the theme's size
	Title             string
	Says              Sentence // stands in place of the title, where there is more to say than a name
	Note              Sentence // what its marks mean, where the key does not say it
	X, Y              Axis
	Lying             bool // the levels of X lie at the left, one below the other, and Y runs to the right
	Layers            []Layer
	Keys              []Key // one a level that has its own colour and shape; empty: no key
	KeyTitle          string
	Holding           []Holding // how many specimens there still are along X, in rows under its axis; nil: none
}

// Holding are the specimens of one look by where on the x axis each ends.
type Holding struct {
	Label string
	Look  int
	Ends  []float64
}

// Axis is a number axis, or, where Levels is not empty, a category axis whose positions are 0, 1, … in that order.
type Axis struct {
	Label  string
	Unit   string
	Levels []string
	Names  []Sentence // of the levels where numbers are in them; nil: as they stand
	// Counts of specimens per level, shown under its name ("n = 12"); may be empty.
	Counts []int
	// FromZero: a number axis takes in zero, wherever the data lie.
	FromZero bool
}

// Key names one look: the same index stands for the same colour and shape in every layer of the figure.
type Key struct {
	Label  string
	Look   int
	Sample Sample
}

// Sample is what a key shows beside its words.
type Sample uint8

const (
	SampleOfLook Sample = iota // all that the figure holds of the look
	SampleLine                 // an unbroken line
	SampleDashes               // a broken line
)

// NoLook is the dark tone of marks that belong to no level, such as the line of a whole fit.
const NoLook = -1

// Grey is the quiet tone and shape of marks that belong to no level and only give the measure,
// such as what chance alone would do.
const Grey = -2

// Layer is one kind of mark on a figure.
type Layer interface{ isLayer() }

// Points are single specimens. Looks holds an index a point into the theme's colours and shapes; on a category axis X
// is the level's position and points that would cover each other are moved apart sideways by the drawing.
type Points struct {
	X, Y  []float64
	Looks []int
	Names []string // specimen names, same length, or nil
	Odd   []int    // the specimens whose names are written beside them
	Faint bool     // they stand back behind the means, which are drawn over them
	Aside bool     // they take no part in what is drawn with them: hollow marks
	Of    string   // what each of them is; "" for a specimen
	Apart bool     // those of different looks in one place are drawn side by side
}

// Add puts one more to them.
func (p *Points) Add(x, y float64, look int, name string) {
	p.X, p.Y, p.Looks, p.Names = append(p.X, x), append(p.Y, y), append(p.Looks, look), append(p.Names, name)
}

// Line is a curve through points in order of X.
type Line struct {
	X, Y   []float64
	Look   int
	Dashed bool
}

// Band is a shaded interval around a line.
type Band struct {
	X, Low, High []float64
	Look         int
}

// Interval is a mean with its interval at one place of X. An end may be infinite; where there is
// no interval at all, both are the mean.
type Interval struct {
	X, Mean, Low, High float64
	Look               int
	Held               Held
	Words              string // beside it at the right of a lying figure
}

// Held is the answer that an interval gives about the size worth having.
type Held uint8

const (
	NotAsked Held = iota
	Differs
	DiffersLess  // by less than is worth having
	NothingWorth // no difference worth having
	CannotTell
)

// Zone is a range of Y shaded across the whole figure, such as the sizes not worth having.
type Zone struct {
	Low, High float64
	Label     string
}

// Rule is a straight line across the figure at Y.
type Rule struct {
	Y     float64
	Label string
	Bold  bool // it is what values are held against, such as zero
}

func (Points) isLayer()   {}
func (Line) isLayer()     {}
func (Band) isLayer()     {}
func (Interval) isLayer() {}
func (Rule) isLayer()     {}
func (Zone) isLayer()     {}
