package session

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Broken picks the specimens that have a way of breaking and a value in the other columns, without those of which the
// way of breaking says that nothing broke: how they would have failed is not known. Where the question is about such a
// level, they stay.
func (k *Call) Broken(mode phrase.ColumnRef, asked []string, columns ...string) (*Sample, error) {
	s, err := k.Sample(append([]string{mode.Column}, columns...)...)
	if err != nil || slices.ContainsFunc(asked, NothingBroke) {
		return s, err
	}
	whole := Unbroken(s.Whole, mode.Column)
	if len(whole) == 0 {
		return s, nil
	}
	keep := make([]bool, s.Frame.Len())
	for row := range keep {
		parallel.LookAt(k.Context, row)
		level, _ := s.Frame.Cell(mode.Column, row)
		if keep[row] = !slices.Contains(whole, level); !keep[row] {
			s.Unbroken = append(s.Unbroken, s.Rows[row])
		}
	}
	if len(s.Unbroken) == 0 {
		return s, nil
	}
	if !slices.Contains(keep, true) {
		return nil, page.Refuse(page.CodeNoSpecimens, mode.At, "none of these specimens broke ("+mode.Column+": "+
			Listed(whole)+")", "break some of them, and "+mode.Column+" can be asked about")
	}
	s.Only(k.Context, keep)
	k.Entry.Specimens = new(s.Counts)
	return s, nil
}

// Unbroken are the levels of a way of breaking that say that nothing broke; none of a column that is neither marked as
// the failure nor called so, where such a word may mean anything else.
func Unbroken(f *frames.Frame, mode string) []string {
	c, _ := f.Column(mode)
	if likely, sure := f.Likely(frames.Failure); c.Role != frames.Failure && (!sure || likely != mode) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(c.Levels), func(level string) bool { return !NothingBroke(level) })
}

// OnlyBroken is a condition, nil for none, with that a specimen broke.
func OnlyBroken(c phrase.Condition, f *frames.Frame, mode string) phrase.Condition {
	broke := phrase.Is{Column: phrase.ColumnRef{Column: mode}, Negate: true}
	for _, level := range Unbroken(f, mode) {
		broke.Values = append(broke.Values, phrase.Value{Text: level})
	}
	if c == nil {
		return broke
	}
	return phrase.And{Left: c, Right: broke}
}

// NamedLevels are the levels that a question about a way of breaking names.
func NamedLevels(mode phrase.Is) []string {
	return lists.Mapped(mode.Values, func(v phrase.Value) string { return v.Text })
}

// wholeWords are the levels of a way of breaking that say that nothing broke.
var wholeWords = []string{"unbroken", "not broken", "did not break", "no break", "no failure", "intact", "held", "none",
	"runout", "run out"}

// NothingBroke reports whether a level of a way of breaking says that nothing broke.
func NothingBroke(level string) bool {
	return slices.Contains(wholeWords, strings.ToLower(strings.ReplaceAll(level, "_", " ")))
}
