package phrase

// Blocks is a list of block columns: `board`, `day, board within day`.
type Blocks struct {
	List []BlockRef
	At   int
}

// BlockRef is one column of blocks. Within names the columns whose levels reuse its
// labels: board 1 of one day is not board 1 of another.
type BlockRef struct {
	Column ColumnRef
	Within []ColumnRef
	At     int
}

// Stack is lists of columns with `below` between them.
type Stack struct {
	List []Columns
	At   int
}

// Place is where the first list stands.
func (n Stack) Place() int { return n.At }

// Place is where the first block stands.
func (n Blocks) Place() int { return n.At }

// Name is the block as typed: `board within day`.
func (b BlockRef) Name() string {
	name := b.Column.Column
	for _, w := range b.Within {
		name += " within " + w.Column
	}
	return name
}
