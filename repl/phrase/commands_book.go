package phrase

// Prose is a note, a heading or a conclusion for the report.
type Prose struct {
	Text Text `phrase:"text"`
}

// SaveBook saves the commands of the book.
type SaveBook struct {
	Replaces
	File File `phrase:"file"`
}

// Replay runs the commands of a saved book.
type Replay struct {
	File File `phrase:"file"`
}

// Report writes the book as one page.
type Report struct {
	Replaces
	File   File  `phrase:"file"`
	Titled *Text `phrase:"title"`
	By     *Text `phrase:"by"`
	Dated  *Text `phrase:"date"`
}

// Again carries out the command of a result once more.
type Again struct {
	Clauses
	Result Name `phrase:"result"`
}

// AgainAll reads the files anew and runs the book on them.
type AgainAll struct{}

// Learn begins the lesson.
type Learn struct{}

// Demo runs the shipped example.
type Demo struct{}

// Undo undoes the last entry.
type Undo struct{}

// SetConfidence says how sure an interval is meant to be.
type SetConfidence struct {
	Level Amount `phrase:"level"`
}

// SetWorth is the smallest difference that matters.
type SetWorth struct {
	Amount Amount `phrase:"amount"`
}

// SetChalkPoint is the temperature below which the glue dries white.
type SetChalkPoint struct {
	Amount Amount `phrase:"amount"`
}

// SetSeed starts the random draws.
type SetSeed struct {
	N Count `phrase:"n"`
}

// SetDigits is how many digits the screen shows.
type SetDigits struct {
	N Count `phrase:"n"`
}

// AskHelp asks what can be typed.
type AskHelp struct {
	Word *Text `phrase:"word"`
}

// Quit leaves the book.
type Quit struct {
	WithoutSaving bool `phrase:"without saving"`
}

// Resume takes up the latest book that was not saved.
type Resume struct{}

// ForgetJournal drops the book that Resume would take up.
type ForgetJournal struct{}

// Replaces is how a command that writes may insist on a name that is taken.
type Replaces struct {
	Replacing bool `phrase:"replacing"`
}

func (r Replaces) replaces() bool { return r.Replacing }
