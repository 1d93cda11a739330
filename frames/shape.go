package frames

import (
	"context"
	"slices"
	"strings"

	"github.com/go-gota/gota/series"

	"breakbook/frames/meant"
	"breakbook/frames/origin"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Subset keeps the rows whose mask is true; a mask shorter than the frame keeps
// none of the rest. Levels that no longer occur are dropped from their column, so
// that the baseline is the first level there is. It is parallel.Stopped where ctx ends.
func (f *Frame) Subset(ctx context.Context, keep []bool) *Frame {
	var rows []int
	for row, k := range keep[:min(len(keep), f.Len())] {
		parallel.LookAt(ctx, row)
		if k {
			rows = append(rows, row)
		}
	}
	next := new(Frame)
	*next = *f
	next.counts = make([]int32, len(rows))
	for i, row := range rows {
		parallel.LookAt(ctx, i)
		next.counts[i] = f.count(row)
	}
	next.held, next.lines, next.slips = slices.Clone(f.held), pick(f.lines, rows), f.slips.pick(rows)
	next.columns = make([]series.Series, len(f.columns))
	for i, s := range f.columns {
		parallel.Look(ctx)
		next.columns[i] = s.Subset(rows)
	}
	if f.aside != nil {
		next.aside = pick(f.aside, rows)
	}
	if f.corrected != nil {
		next.corrected = moved(f.corrected, func(row int) int { return slices.Index(rows, row) })
	}
	for i := range next.held {
		parallel.Look(ctx)
		if h := &next.held[i]; h.missing != nil {
			h.missing = pick(h.missing, rows)
		}
		next.dropEmptyLevels(ctx, i)
	}
	return next
}

// dropEmptyLevels leaves a category only the levels that occur.
func (f *Frame) dropEmptyLevels(ctx context.Context, column int) {
	h := &f.held[column]
	if h.Kind != Category {
		return
	}
	occurs := make([]bool, len(h.Levels))
	for row := range f.Len() {
		parallel.LookAt(ctx, row)
		if level := f.level(column, row); level >= 0 {
			occurs[level] = true
		}
	}
	var levels []string
	for i, l := range h.Levels {
		if occurs[i] {
			levels = append(levels, l)
		}
	}
	h.setOrder(levels)
}

func pick[T any](from []T, rows []int) []T {
	return lists.Mapped(rows, func(row int) T { return from[row] })
}

// setOrder makes these words the levels, in this order.
func (h *held) setOrder(levels []string) {
	at := make(map[string]int, len(levels))
	for i, l := range levels {
		at[l] = i
	}
	h.Levels = levels
	h.place = make([]int, len(h.words))
	for code, w := range h.words {
		h.place[code] = -1
		if i, ok := at[w]; ok {
			h.place[code] = i
		}
	}
}

// SetAside leaves the rows whose mask is true out without losing them: Aside then
// gives the reason, which must not be empty to have an effect.
func (f *Frame) SetAside(rows []bool, reason string) *Frame {
	next := *f
	next.aside = make([]string, f.Len())
	copy(next.aside, f.aside)
	for row := range next.aside {
		if row < len(rows) && rows[row] {
			next.aside[row] = reason
		}
	}
	return &next
}

// BringBack undoes SetAside for the rows whose mask is true.
func (f *Frame) BringBack(rows []bool) *Frame { return f.SetAside(rows, "") }

// SetUnit says what unit a column is in; its numbers stay as they are. A column
// without a single number in it is an *Error with code "not-a-number-column".
func (f *Frame) SetUnit(column string, u units.Unit) (*Frame, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	h := f.held[i]
	if h.Kind != Number && !f.anyNumber(i) {
		return nil, f.notNumbers(i)
	}
	was := h.Unit
	h.Unit, h.Difference = u, h.Difference && u.Dimension() == "temperature"
	next := f.with(i, h)
	for j := range next.held {
		if of := next.held[j].LnOf; of != nil && of.Of == column && of.Unit == was {
			next.held[j].LnOf = &origin.Logarithm{Of: of.Of, Label: of.Label, Unit: u}
		}
		next.held[j].Adjusted = next.held[j].Adjusted.Relabelled(column, was.String(), u.String())
	}
	return next, nil
}

func (f *Frame) anyNumber(column int) bool {
	h := f.held[column]
	if h.Kind == Category {
		return slices.ContainsFunc(h.Levels, func(l string) bool { _, ok := f.amountIn(l); return ok })
	}
	for row := range f.Len() {
		if !h.gone(row) {
			if _, ok := f.amountIn(f.cell(column, row)); ok {
				return true
			}
		}
	}
	return false
}

// SetRole marks a column; NoRole takes its mark off. A role that one column has
// at a time is taken off the column that had it.
func (f *Frame) SetRole(column string, r Role) (*Frame, error) {
	i, err := f.find(column)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(roles, r) {
		return nil, &Error{Code: "unknown-role", Column: column, Word: string(r), Detail: string(r) +
			" is no role of a column"}
	}
	next := *f
	next.held = slices.Clone(f.held)
	for j := range next.held {
		if !r.several() && next.held[j].Role == r {
			next.held[j].Role = NoRole
		}
	}
	next.held[i].Role = r
	return &next, nil
}

// SetLevels gives the order of a category's levels. Levels not named keep their
// order after the ones named. A number names the level of a category of numbers
// with or without the column's unit. A word that is no level is an *Error with code
// "unknown-level".
func (f *Frame) SetLevels(column string, order []string) (*Frame, error) {
	i, err := f.category(column)
	if err != nil {
		return nil, err
	}
	h := f.held[i]
	var levels []string
	named := map[string]bool{}
	for _, word := range order {
		found := f.levelsCalled(&h, word)
		if len(found) == 0 {
			return nil, &Error{Code: "unknown-level", File: f.source.Path, Column: column, Word: word,
				Hint:   meant.Hint(word, h.Levels),
				Detail: column + " has no level " + word}
		}
		for _, l := range found {
			if !named[l] {
				named[l], levels = true, append(levels, l)
			}
		}
	}
	for _, l := range h.Levels {
		if !named[l] {
			levels = append(levels, l)
		}
	}
	h.setOrder(levels)
	h.OrderGiven = true
	return f.with(i, h), nil
}

// HasGivenOrder reports whether a category's levels have an order that somebody gave them, by name or when series were
// put together, and not that of their words.
func (f *Frame) HasGivenOrder(column string) bool {
	c, ok := f.Column(column)
	return ok && (c.OrderGiven || !slices.Equal(c.Levels, f.naturally(c.Levels)))
}

// levelsCalled finds the levels a word stands for: the one spelled so, else those
// spelled so but for case, else those that are the same number.
func (f *Frame) levelsCalled(h *held, word string) []string {
	if slices.Contains(h.Levels, word) {
		return []string{word}
	}
	found := lists.Where(h.Levels, func(l string) bool { return strings.EqualFold(l, word) })
	wanted, ok := f.amountIn(word)
	if len(found) > 0 || !ok {
		return found
	}
	for _, l := range h.Levels {
		if a, ok := f.amountIn(l); ok && a.equals(wanted, h.Unit) {
			found = append(found, l)
		}
	}
	return found
}

// replaced is the frame with another gota series in a column's place.
func (f *Frame) replaced(column int, h held, s series.Series) *Frame {
	next := f.with(column, h)
	next.columns = slices.Clone(f.columns)
	next.columns[column] = s
	return next
}
