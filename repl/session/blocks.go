package session

import (
	"context"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// FitCommand is a copy of the command that fitted what is asked about, the own one or that
// of the fit it names, with the ways it was fitted in changed; nil where nothing was fitted.
func (k *Call) FitCommand(change func(*phrase.FitOptions)) *phrase.Command {
	c := k.Command
	if of, ok := phrase.Facet[phrase.OnFit](c); ok {
		if r, ok := k.Session.Result(of.Earlier().Text); ok && r.Fit != nil {
			c = r.Fit.FittedBy()
		}
	}
	c = c.Copy()
	switch cmd := c.Do.(type) {
	case *phrase.Fit:
		change(&cmd.FitOptions)
		return c
	case *phrase.Anova:
		if on, ok := cmd.Subject.(phrase.AnovaOnTerms); ok {
			change(&on.FitOptions)
			cmd.Subject = on
			return c
		}
	}
	return nil
}

// WithoutName is the line of a command less the name its result got: a name is given once.
func WithoutName(c *phrase.Command) string {
	c = c.Copy()
	c.Clauses().As = nil
	return c.String()
}

// ReusedCautions ask, of each block column of a fit, whether its labels are used again
// under the blocks of another: board 1 of one day may not be board 1 of the next. Of two
// columns it is the one with more levels that may lie within the other.
func (k *Call) ReusedCautions(s *Sample, blocks []phrase.BlockRef) []page.Sentence {
	var out []page.Sentence
	for _, b := range blocks {
		if len(b.Within) > 0 {
			continue
		}
		for _, outer := range s.Frame.Columns() {
			held := slices.ContainsFunc(blocks, func(b phrase.BlockRef) bool { return b.Column.Column == outer.Name })
			pooled := outer.Name == frames.SeriesColumn && len(SharedLabels(k.Context, s.Frame, b.Column.Column)) > 0
			if outer.Name == b.Column.Column || !IsBlock(outer) && !held && !pooled {
				continue
			}
			label, times := s.reused(k.Context, b.Column.Column, outer.Name)
			if times < 2 || s.Distinct(k.Context, b.Column.Column) <= s.Distinct(k.Context, outer.Name) {
				continue
			}
			out = append(out, page.Say(b.Column.Column+" "+label+" was met under ", times, " values of "+outer.Name+
				". If these are different pieces that share a name, type: "+k.withinLine(b, outer.Name)))
		}
	}
	return out
}

// withinLine is the line with one block column within another.
func (k *Call) withinLine(b phrase.BlockRef, outer string) string {
	blocked := false
	c := k.FitCommand(func(options *phrase.FitOptions) {
		if blocked = options.Blocks != nil; !blocked {
			return
		}
		list := slices.Clone(options.Blocks.List)
		for i := range list {
			if list[i].Column.Column == b.Column.Column {
				list[i].Within = []phrase.ColumnRef{{Column: outer}}
			}
		}
		options.Blocks = &phrase.Blocks{List: list}
	})
	if !blocked {
		return ""
	}
	return WithoutName(c)
}

// IsBlock reports whether a column looks like blocks: marked so, named so, or dates. Names of specimens that are met
// more than once, and so are categories, say that one specimen has several rows.
func IsBlock(c frames.Column) bool {
	return c.Role == frames.Block || notation.NamesBatch(c.Name) ||
		c.Kind == frames.Category && c.Role == frames.NoRole &&
			(notation.NamesSpecimens(c.Name) || notation.Days(c.Name, c.Levels))
}

// Distinct is how many values of a column the specimens have.
func (s *Sample) Distinct(ctx context.Context, column string) int {
	seen := map[string]bool{}
	for row := range s.Frame.Len() {
		parallel.LookAt(ctx, row)
		if text, ok := s.Frame.Cell(column, row); ok {
			seen[text] = true
		}
	}
	return len(seen)
}

// DistinctBlocks is how many blocks the specimens have of a column, or of columns one within the other.
func (s *Sample) DistinctBlocks(ctx context.Context, b phrase.BlockRef) int {
	if len(b.Within) == 0 {
		return s.Distinct(ctx, b.Column.Column)
	}
	seen := map[int]bool{}
	for row, code := range s.BlockCodes(ctx, b) {
		if _, there := s.Frame.Cell(b.Column.Column, row); there {
			seen[code] = true
		}
	}
	return len(seen)
}

// reused is the first label of a column that is met under more than one value of another,
// and under how many.
func (s *Sample) reused(ctx context.Context, column, outer string) (label string, times int) {
	under := map[string]map[string]bool{}
	var order []string
	for row := range s.Frame.Len() {
		parallel.LookAt(ctx, row)
		inner, ok := s.Frame.Cell(column, row)
		out, there := s.Frame.Cell(outer, row)
		if !ok || !there {
			continue
		}
		if under[inner] == nil {
			under[inner] = map[string]bool{}
			order = append(order, inner)
		}
		under[inner][out] = true
	}
	for _, inner := range order {
		if len(under[inner]) > 1 {
			return inner, len(under[inner])
		}
	}
	return "", 0
}

func Means(values [][]float64) []float64 {
	out := make([]float64, len(values))
	for i, level := range values {
		sum := 0.0
		for _, v := range level {
			sum += v - level[0]
		}
		out[i] = level[0] + sum/float64(len(level))
	}
	return out
}

// Progress is the function to tell how far long work has come; none in a quiet rerun.
func (k *Call) Progress() func(done, total int) {
	if k.Back != nil {
		return nil
	}
	return parallel.ProgressOf(k.Context)
}

// The number of reshuffles that may be asked for.
const LeastTimes, MostTimes = 99, 10_000_000

// WithBlocks adds the columns marked as blocks to those that an analysis knows of.
func (k *Call) WithBlocks(columns []string) ([]string, error) {
	_, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	for _, c := range MarkedBlocks(f) {
		columns = lists.With(columns, c)
	}
	return columns, nil
}

// Marked are the columns that are marked as blocks now, be the sample an earlier fit's.
func (k *Call) Marked(s *Sample) []string {
	if f, ok := k.Session.Frame(s.Series); ok {
		return MarkedBlocks(f)
	}
	return MarkedBlocks(s.Frame)
}

func MarkedBlocks(f *frames.Frame) []string {
	var out []string
	for _, c := range f.Columns() {
		if c.Role == frames.Block {
			out = append(out, c.Name)
		}
	}
	return out
}

// Blocks numbers the blocks of the specimens, one for each combination of values of the
// columns in the order met, and says what they are within; nil and "" for no columns.
func (s *Sample) Blocks(ctx context.Context, columns []string) (block []int, within string) {
	if len(columns) == 0 {
		return nil, ""
	}
	for _, c := range columns {
		if ref := s.BlockRef(ctx, c); len(ref.Within) > 0 && !slices.Contains(columns, frames.SeriesColumn) {
			columns = append(slices.Clone(columns), frames.SeriesColumn)
		}
	}
	return s.combined(ctx, columns), " within each value of " + strings.Join(columns, " and ")
}

// BlocksOf are the columns of blocks that specimens share: those marked so, or, where none is,
// those named so.
func BlocksOf(ctx context.Context, s *Sample, except []string) []BlockCount {
	marked := MarkedBlocks(s.Frame)
	return slices.DeleteFunc(s.BlockCounts(ctx, except), func(b BlockCount) bool {
		return len(marked) > 0 && !slices.Contains(marked, b.Column)
	})
}

// BlockCount is a column of boards, batches or days, with how many of them the specimens have.
type BlockCount struct {
	Column string
	Ref    phrase.BlockRef // within the series where these use labels again
	N      int
}

// BlockRef is a column of blocks as an analysis allows for it that nobody told otherwise: of series of several files,
// one that uses the labels of another has blocks of its own, since board 1 of last year is not board 1 of now. A date
// is the same day in all.
func (s *Sample) BlockRef(ctx context.Context, column string) phrase.BlockRef {
	b := phrase.BlockRef{Column: phrase.ColumnRef{Column: column}}
	if len(SharedLabels(ctx, s.Frame, column)) > 0 {
		b.Within = []phrase.ColumnRef{{Column: frames.SeriesColumn}}
	}
	return b
}

// SharedLabels are the values of a column of blocks, no dates, that more than one series of a pool of several files
// has, in the order met.
func SharedLabels(ctx context.Context, f *frames.Frame, column string) (shared []string) {
	one := f.Files()[0]
	several := slices.ContainsFunc(f.Files(), func(s frames.Source) bool { return s != one })
	if c, pooled := f.Column(frames.SeriesColumn); !pooled || c.Kind != frames.Category || !several ||
		column == frames.SeriesColumn {
		return nil
	}
	of, shares := map[string]string{}, map[string]bool{} // of each label: its first series, whether another has it too
	for row := range f.Len() {
		parallel.LookAt(ctx, row)
		label, there := f.Cell(column, row)
		series, known := f.Cell(frames.SeriesColumn, row)
		if !there || !known {
			continue
		}
		first, met := of[label]
		switch {
		case !met:
			of[label] = series
		case first != series && !shares[label]:
			shares[label] = true
			shared = append(shared, label)
		}
	}
	return slices.DeleteFunc(shared, func(label string) bool {
		_, date := notation.Date(label, f.DateOrder())
		return date
	})
}

// BlockCounts are the columns, but for some, that look like boards, batches or days that specimens share; a column
// of one value, or of another for each specimen, is none.
func (s *Sample) BlockCounts(ctx context.Context, except []string) []BlockCount {
	var out []BlockCount
	for _, c := range s.Frame.Columns() {
		if slices.Contains(except, c.Name) || !IsBlock(c) {
			continue
		}
		ref := s.BlockRef(ctx, c.Name)
		if n := s.DistinctBlocks(ctx, ref); n > 1 && n < s.Frame.Len() {
			out = append(out, BlockCount{c.Name, ref, n})
		}
	}
	return out
}

// BlockCodes numbers the blocks of a column, or of columns one within the other.
func (s *Sample) BlockCodes(ctx context.Context, b phrase.BlockRef) []int {
	columns := []string{b.Column.Column}
	for _, outer := range b.Within {
		columns = append(columns, outer.Column)
	}
	return s.combined(ctx, columns)
}

// combined numbers the combinations of values of columns that the specimens have, in the order met.
func (s *Sample) combined(ctx context.Context, columns []string) []int {
	met := map[string]int{}
	codes := make([]int, s.Frame.Len())
	for row := range codes {
		parallel.LookAt(ctx, row)
		key := ""
		for _, c := range columns {
			text, _ := s.Frame.Cell(c, row)
			key += text + "\x00"
		}
		code, known := met[key]
		if !known {
			code = len(met)
			met[key] = code
		}
		codes[row] = code
	}
	return codes
}
