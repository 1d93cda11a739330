package frames

import (
	"context"
	"slices"
	"strconv"

	"github.com/go-gota/gota/series"

	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// GroupColumn is the column that says which block a specimen comes from, where the blocks
// have names of their own in a header of two lines.
const GroupColumn = "group"

// Stacked says what became of blocks that were put one below the other.
type Stacked struct {
	Names   []string // of the blocks: of their groups, else 1, 2, …
	Kept    []int    // the specimens of each
	Empty   [][]int  // the rows of the frame that have nothing in a block, which were left out
	Shared  []string // the columns in no block, kept for every specimen
	Columns []string // those of the first block, as the result calls them
	Group   string   // the column that tells the blocks apart; "" for none
	Turned  []Turned // columns of later blocks in another unit than the first's, or in none
}

// Turned is a column whose numbers changed their unit: From to To, which is taken to be its
// own where From is none.
type Turned struct {
	Column   string
	From, To units.Unit
}

// PutBelow puts blocks of columns one below the other: the first columns of all make one
// column, named after that of the first block, and so on. Columns in no block stay beside
// every row. A row with nothing in a block is left out there. Numbers turn into the unit of
// the first block that gives one; levels and text go together. Lines, roles and what is set
// aside are kept, load–slip curves for the first block alone, since nobody measured which
// block they are of. Errors are *Error: "columns-differ" where the blocks are not equally
// wide, "column-twice", "unknown-column", "kinds-differ" where numbers meet words (Word is
// the column to be treated as the other is), "wrong-dimension", and "no-rows" where the blocks are
// empty; or ctx's own.
func (f *Frame) PutBelow(ctx context.Context, blocks [][]string) (_ *Frame, _ *Stacked, err error) {
	defer parallel.Catch(&err)
	if err := f.fitBelow(blocks); err != nil {
		return nil, nil, err
	}
	s := &stacking{ctx: ctx, f: f, blocks: blocks, place: map[string]int{}}
	for _, block := range blocks {
		for i, name := range block {
			s.place[name] = i
		}
	}
	s.pickRows()
	if len(s.rows) == 0 {
		return nil, nil, &Error{Code: "no-rows", Column: blocks[0][0],
			Detail: "the columns named have no value in any row"}
	}
	for i := range blocks[0] {
		if err := s.meet(i); err != nil {
			return nil, nil, err
		}
	}
	next, err := s.stack()
	if err != nil {
		return nil, nil, err
	}
	return next, &s.Stacked, nil
}

// fitBelow refuses blocks that are not equally wide, and columns that stand twice.
func (f *Frame) fitBelow(blocks [][]string) error {
	met := map[string]bool{}
	for _, block := range blocks {
		if len(block) != len(blocks[0]) {
			return &Error{Code: "columns-differ", Column: block[0], Word: block[0],
				Detail: "each block needs as many columns as the first: " +
					strconv.Itoa(len(blocks[0])) + ", not " + strconv.Itoa(len(block))}
		}
		for _, name := range block {
			if _, err := f.find(name); err != nil {
				return err
			}
			if met[name] {
				return &Error{Code: "column-twice", Column: name, Word: name, Detail: name + " is named twice"}
			}
			met[name] = true
		}
	}
	return nil
}

// stacking puts the blocks of one frame one below the other.
type stacking struct {
	Stacked
	ctx    context.Context // of the one call
	f      *Frame
	blocks [][]string
	place  map[string]int // of each column in its block
	rows   []int          // the rows of all blocks, one block after the other
	of     [][]int        // the rows of each block
	parts  []Part         // the blocks under the first one's names, without columns that are empty
}

// pickRows finds the rows of each block that have anything in it.
func (s *stacking) pickRows() {
	for _, block := range s.blocks {
		places := lists.Mapped(block, func(name string) int { return s.f.at[name] })
		var kept, empty []int
		for row := range s.f.Len() {
			parallel.LookAt(s.ctx, row)
			if slices.ContainsFunc(places, func(i int) bool { return !s.f.held[i].gone(row) }) {
				kept = append(kept, row)
			} else {
				empty = append(empty, row)
			}
		}
		s.of, s.rows = append(s.of, kept), append(s.rows, kept...)
		s.Kept, s.Empty = append(s.Kept, len(kept)), append(s.Empty, empty)
		s.parts = append(s.parts, Part{Frame: &Frame{lines: pick(s.f.lines, kept), at: map[string]int{},
			decimal: s.f.decimal, thousands: s.f.thousands, dates: s.f.dates}})
	}
}

// meet brings the columns of one place in every block together under the first one's name:
// their kinds and units have to fit. A column without a value fits any.
func (s *stacking) meet(place int) error {
	name := s.blocks[0][place]
	first, unit := -1, -1 // the blocks that settle the kind and the unit
	var bare []string
	for b, block := range s.blocks {
		i := s.f.at[block[place]]
		h := s.f.held[i]
		if !slices.ContainsFunc(s.of[b], func(row int) bool { return !h.gone(row) }) && (b > 0 || s.anyIn(place)) {
			continue
		}
		if first < 0 {
			first = b
		}
		own := s.blocks[first][place]
		if settled, _ := s.f.Column(own); (h.Kind == Number) != (settled.Kind == Number) {
			return s.kindsDiffer(own, h.Name)
		}
		if h.Unit.None() {
			bare = append(bare, h.Name)
		} else if unit < 0 {
			unit = b
		}
		if unit >= 0 && !h.Unit.None() {
			to := s.f.held[s.f.at[s.blocks[unit][place]]].Column
			if _, err := units.To(h.Unit, to.Unit); err != nil || h.Difference != to.Difference {
				return &Error{Code: "wrong-dimension", Column: h.Name, Word: h.Name, Err: err,
					Detail: to.Name + " is in " + to.Unit.String() + " and " + h.Name + " in " + h.Unit.String() +
						", which cannot be put one below the other"}
			}
			if h.Unit != to.Unit && h.Kind == Number {
				s.Turned = append(s.Turned, Turned{h.Name, h.Unit, to.Unit})
			}
		}
		s.take(b, i, name)
	}
	if unit >= 0 {
		to := s.f.held[s.f.at[s.blocks[unit][place]]].Column
		for _, c := range bare {
			if to.Kind == Number {
				s.Turned = append(s.Turned, Turned{Column: c, To: to.Unit})
			}
		}
	}
	return nil
}

// anyIn tells whether any block has a value in a place.
func (s *stacking) anyIn(place int) bool {
	for b, block := range s.blocks {
		h := &s.f.held[s.f.at[block[place]]]
		if slices.ContainsFunc(s.of[b], func(row int) bool { return !h.gone(row) }) {
			return true
		}
	}
	return false
}

// kindsDiffer says which of two columns holds words where the other has numbers, and which
// is to be treated otherwise: the one of words where most of its cells are numbers.
func (s *stacking) kindsDiffer(a, b string) error {
	numbers, words := a, b
	if c, _ := s.f.Column(a); c.Kind != Number {
		numbers, words = b, a
	}
	e := &Error{Code: "kinds-differ", Column: words, Word: words, Detail: numbers + " holds numbers and " + words +
		" words"}
	i := s.f.at[words]
	odd, cells := 0, 0
	for row := range s.f.Len() {
		parallel.LookAt(s.ctx, row)
		if s.f.held[i].gone(row) {
			continue
		}
		cells++
		cell := s.f.cell(i, row)
		if _, ok := s.f.amountIn(cell); ok {
			continue
		}
		if odd++; odd == 1 {
			e.Detail += ", such as “" + cell + "” in " + lineOf(s.f, row)
		}
	}
	if 2*odd > cells {
		e.Word = numbers
	}
	e.Detail += ", so they cannot be put one below the other"
	return e
}

// take puts a column of a block into its part, under the name that it gets.
func (s *stacking) take(block, column int, name string) {
	part, h := s.parts[block].Frame, s.f.held[column]
	h.Name = name
	if h.missing != nil {
		h.missing = pick(h.missing, s.of[block])
	}
	part.at[name] = len(part.held)
	part.held, part.columns = append(part.held, h), append(part.columns, s.f.columns[column].Subset(s.of[block]))
	parallel.Look(s.ctx)
	part.dropEmptyLevels(s.ctx, part.at[name])
}

// stack makes the frame: the shared columns repeated for every block, the others pooled.
func (s *stacking) stack() (*Frame, error) {
	f := s.f
	for i := range s.parts {
		s.parts[i].Name = s.blocks[i][0]
	}
	p := &pooling{ctx: s.ctx, parts: s.parts, next: &Frame{at: map[string]int{}, decimal: f.decimal,
		thousands: f.thousands, dates: f.dates}}
	next := *f
	next.held, next.columns, next.at, next.counts = nil, nil, map[string]int{}, nil
	next.lines, next.understood = pick(f.lines, s.rows), nil
	names := notation.NewNamer()
	for i, h := range f.held {
		parallel.Look(s.ctx)
		place, inBlock := s.place[h.Name]
		if inBlock && s.blocks[0][place] != h.Name {
			continue
		}
		var column series.Series
		if inBlock {
			label, header := h.Label, h.Header
			var err error
			if h, column, err = p.column(h.Name); err != nil {
				return nil, err
			}
			h.Label, h.Header = label, header
			if h.Role == NoRole {
				h.Role = f.held[i].Role
			}
		} else {
			s.Shared = append(s.Shared, h.Name)
			column = f.columns[i].Subset(s.rows)
			if h.missing != nil {
				h.missing = pick(h.missing, s.rows)
			}
		}
		names.Name(h.Name, len(next.held))
		next.at[h.Name] = len(next.held)
		next.held, next.columns = append(next.held, h), append(next.columns, column)
		next.dropEmptyLevels(s.ctx, len(next.held)-1)
	}
	s.Columns = slices.Clone(s.blocks[0])
	s.nameBlocks(&next, names)
	if f.aside != nil {
		next.aside = pick(f.aside, s.rows)
	}
	if f.slips != nil {
		slips := f.slips.pick(s.rows)
		for row := range slips.of[len(s.of[0]):] {
			slips.of[len(s.of[0])+row] = -1
		}
		next.slips = slips
	}
	return &next, nil
}

// nameBlocks names the blocks. Where each stands under a group of its own, the specimens
// get a column that says which.
func (s *stacking) nameBlocks(next *Frame, names *notation.Namer) {
	for b, block := range s.blocks {
		group := s.f.held[s.f.at[block[0]]].Group
		for _, name := range block {
			if s.f.held[s.f.at[name]].Group != group {
				group = ""
			}
		}
		if group == "" || slices.Contains(s.Names, group) {
			s.Names = nil
			break
		}
		if s.Names = append(s.Names, group); b == len(s.blocks)-1 {
			s.Group, _, _ = names.Name(GroupColumn, len(next.held))
		}
	}
	if s.Group == "" {
		for b := range s.blocks {
			s.Names = append(s.Names, strconv.Itoa(b+1))
		}
		return
	}
	for i := range next.held {
		if _, inBlock := s.place[next.held[i].Name]; inBlock {
			next.held[i].Group = ""
		}
	}
	h := held{Column: Column{Name: s.Group, Label: "Group", Header: GroupColumn, Kind: Category}, words: s.Names}
	var levels []string
	var codes []int
	for b, kept := range s.Kept {
		if codes = append(codes, repeated(b, kept)...); kept > 0 {
			levels = append(levels, s.Names[b])
		}
	}
	h.setOrder(levels)
	next.at[h.Name] = len(next.held)
	next.held = append(next.held, h)
	next.columns = append(next.columns, seriesOf(s.ctx, series.Int, len(codes),
		func(row int) any { return codes[row] }))
}
