package series

import (
	"context"
	"slices"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/proofread"
	"breakbook/models/parallel"
	"breakbook/repl/session"
)

// withoutSums sets the rows aside that are figures of other rows, unless a look beside the file says what
// is set aside; where the names of specimens then are each their own, their column is marked so.
func withoutSums(k *session.Call, f *frames.Frame, how *frames.Reading) (*frames.Frame, error) {
	if how.Look != "" {
		return f, nil
	}
	sums, err := proofread.Sums(k.Context, f, proofread.Options{Quick: true})
	if err != nil {
		return nil, err
	}
	for _, r := range sums {
		mask := make([]bool, f.Len())
		mask[r.Rows[0]] = true
		f = f.SetAside(mask, r.Stat.Reason())
	}
	if _, marked := f.RoleColumn(frames.Specimen); marked || len(sums) == 0 {
		return f, nil
	}
	for _, c := range f.Columns() {
		if c.Role != frames.NoRole || !notation.NamesSpecimens(c.Name) ||
			c.Kind == frames.Category && len(c.Levels) < 2 {
			continue
		}
		if distinctNames(k, f, c.Name) {
			return f.SetRole(c.Name, frames.Specimen)
		}
		break
	}
	return f, nil
}

// distinctNames reports whether each specimen that takes part has a name of its own in a column.
func distinctNames(k *session.Call, f *frames.Frame, column string) bool {
	seen := map[string]bool{}
	for row := range f.Len() {
		parallel.LookAt(k.Context, row)
		name, there := f.Cell(column, row)
		if _, aside := f.Aside(row); aside || !there {
			continue
		}
		if seen[name] {
			return false
		}
		seen[name] = true
	}
	return len(seen) > 0
}

// stillSo are the reader's remarks that still hold once sums are set aside: a word among the numbers of
// specimens, or of a first column, is none where it only names sums, or rows that are called so or are notes.
func stillSo(k *session.Call, f *frames.Frame, all []frames.Remark) ([]frames.Remark, error) {
	var notes proofread.Remark
	found, err := proofread.Notes(k.Context, f)
	if err != nil {
		return nil, err
	}
	for _, r := range found {
		notes = r
	}
	return slices.DeleteFunc(slices.Clone(all), func(m frames.Remark) bool {
		c, _ := f.Column(m.Column)
		if m.Code != "stray-word" || c.Role != frames.Specimen && c.Name != notes.Column {
			return false
		}
		for row := range f.Len() {
			parallel.LookAt(k.Context, row)
			cell, there := f.Cell(c.Name, row)
			if _, aside := f.Aside(row); aside || !there || slices.Contains(notes.Rows, row) {
				continue
			}
			if _, ok := f.NumberIn(cell); !ok {
				if _, figure := proofread.CalledFigure(cell); !figure { // told for itself
					return false
				}
			}
		}
		return true
	}), nil
}

// saidOf reports whether the reader of a file said already of a column what a remark says.
func saidOf(column string, code proofread.Code, read []frames.Remark) bool {
	return code == proofread.AlmostNum && slices.ContainsFunc(read, func(m frames.Remark) bool {
		switch m.Code {
		case "stray-word", "leading-zeros", "big-whole-number", "mixed-units", "other-decimal-mark", "odd-bytes":
			return m.Column == column
		}
		return false
	})
}

// sumsIn counts the rows of a series that are set aside because they are figures of others.
func sumsIn(ctx context.Context, f *frames.Frame) (mask []bool, n int) {
	for row := 0; row < f.Len() && f.AnyAside(); row++ {
		parallel.LookAt(ctx, row)
		if reason, aside := f.Aside(row); !aside || !proofread.IsSum(reason) {
			continue
		}
		if mask == nil {
			mask = make([]bool, f.Len())
		}
		mask[row] = true
		n++
	}
	return mask, n
}

// specimensOf counts the specimens of a series: its rows but for those that are figures of others.
func specimensOf(k *session.Call, f *frames.Frame) int {
	_, n := sumsIn(k.Context, f)
	return f.Len() - n
}

// specimensAlone is the series without the rows that are figures of others, and its columns so.
func specimensAlone(ctx context.Context, f *frames.Frame, columns []frames.Column) (*frames.Frame, []frames.Column) {
	mask, n := sumsIn(ctx, f)
	if n == 0 {
		return f, columns
	}
	for row := range mask {
		mask[row] = !mask[row]
	}
	f = f.Subset(ctx, mask)
	own := make([]frames.Column, len(columns))
	for i, c := range columns {
		own[i], _ = f.Column(c.Name)
	}
	return f, own
}

// oddLevels are the columns in which some levels look like one.
func oddLevels(ctx context.Context, f *frames.Frame) map[string]bool {
	odd := map[string]bool{}
	for _, r := range proofread.Spellings(ctx, f) {
		odd[r.Column] = true
	}
	return odd
}
