package frames

import (
	"context"
	"math"
	"slices"
	"strings"

	"github.com/go-gota/gota/series"

	"breakbook/frames/meant"
	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// LinedUp says how two series met.
type LinedUp struct {
	Matched  int         // rows of the first with a partner
	Shared   int         // rows of the second that were partner to several
	Alone    []int       // rows of the first without one: they stay, with cells missing
	LeftOut  []int       // rows of the second without one: they are not in the result
	Keyless  [2]int      // rows without a key, among Alone and LeftOut
	Renamed  [][2]string // columns of the second whose name was taken: old, new
	AsideToo int         // rows set aside because their partner was
}

// LineUp puts the columns of the second series beside those of the first, for rows with
// the same value in the key column: the same number, in one unit, or the same word,
// failing that but for case. Every row of the first stays, in its order. A row of the
// second may be partner to several (a board to its specimens), but its key must not
// stand twice there: an *Error with code "key-twice". Keys that match nowhere are one
// with code "no-partners", keys in different dimensions a *units.Error. Roles and what
// is set aside come along where the first has none. The error is ctx's own where that ends.
func LineUp(ctx context.Context, a, b Part, key string) (_ *Frame, _ *LinedUp, err error) {
	defer parallel.Catch(&err)
	keysA, keysB, err := keysOf(ctx, a, b, key)
	if err != nil {
		return nil, nil, err
	}
	l := &LinedUp{}
	partner, err := l.match(ctx, a, b, key, keysA, keysB)
	if err != nil {
		return nil, nil, err
	}
	next := *a.Frame
	next.held, next.columns = slices.Clone(a.Frame.held), slices.Clone(a.Frame.columns)
	next.files = append(slices.Clone(a.Frame.Files()), b.Frame.Files()...)
	next.understood = nil
	next.source = Source{Path: a.Frame.source.Path + ", " + b.Frame.source.Path}
	next.at = map[string]int{}
	names := notation.NewNamer()
	for i, h := range next.held {
		next.at[h.Name] = i
		names.Name(h.Name, i)
	}
	rows := lists.Mapped(partner, func(with int) int { return max(with, 0) })
	for i, h := range b.Frame.held {
		parallel.Look(ctx)
		if h.Name == key {
			continue
		}
		old := h.Name
		if h.Name, _, _ = names.Name(h.Name, i); h.Name != old {
			l.Renamed = append(l.Renamed, [2]string{old, h.Name})
		}
		h.missing = maskOf(len(partner), func(row int) bool { return partner[row] < 0 || h.gone(partner[row]) })
		if _, has := a.Frame.RoleColumn(h.Role); !h.Role.several() && has {
			h.Role = NoRole
		}
		next.at[h.Name] = len(next.held)
		next.held = append(next.held, h)
		s := b.Frame.columns[i].Subset(rows)
		nothing := map[series.Type]any{series.Float: math.NaN(), series.Int: -1, series.String: ""}[s.Type()]
		for i, row := range l.Alone { // a fresh copy, so this changes no other frame
			parallel.LookAt(ctx, i)
			s.Elem(row).Set(nothing)
		}
		next.columns = append(next.columns, s)
	}
	for i := len(a.Frame.held); i < len(next.held); i++ {
		next.dropEmptyLevels(ctx, i)
		for _, r := range l.Renamed {
			next.held[i].From = renamed(next.held[i].From, r[0], r[1])
		}
	}
	l.bringAlong(&next, a.Frame, b.Frame, partner)
	return &next, l, nil
}

// keysOf are the keys of both series as words, "" where missing.
func keysOf(ctx context.Context, a, b Part, key string) (keysA, keysB []string, err error) {
	columnB, ok := b.Frame.Column(key)
	if !ok {
		names := lists.Mapped(b.Frame.Columns(), func(c Column) string { return c.Name })
		return nil, nil, &Error{Code: "unknown-column", Column: key, Word: key, Detail: "there is no column " + key +
			" in " + b.Name, Hint: meant.Hint(key, names)}
	}
	columnA, _ := a.Frame.Column(key)
	u := columnB.Unit
	if !columnA.Unit.None() && !u.None() {
		if _, err := units.To(columnA.Unit, columnB.Unit); err != nil {
			return nil, nil, err
		}
		u = columnA.Unit
	}
	return a.Frame.keys(ctx, key, columnA.Unit), b.Frame.keys(ctx, key, u), nil
}

func (f *Frame) keys(ctx context.Context, column string, u units.Unit) []string {
	i := f.at[column]
	keys := make([]string, f.Len())
	for row := range keys {
		parallel.LookAt(ctx, row)
		if cell, ok := f.Cell(column, row); ok {
			keys[row] = f.inUnit(i, strings.TrimSpace(cell), u)
		}
	}
	return keys
}

// match finds the partner of each row of the first, -1 for none.
func (l *LinedUp) match(ctx context.Context, a, b Part, key string, keysA, keysB []string) ([]int, error) {
	exact, folded := map[string]int{}, map[string]int{}
	for row, k := range keysB {
		parallel.LookAt(ctx, row)
		if k == "" {
			continue
		}
		if first, twice := exact[k]; twice {
			return nil, &Error{Code: "key-twice", Column: key, Word: k,
				Hint: "write put " + b.Name + " beside " + a.Name + " by " + key + " as NAME, if " +
					b.Name + " has several rows per " + key,
				Detail: key + " " + k + " stands twice in " + b.Name + " (" + lineOf(b.Frame, first) + " and " +
					lineOf(b.Frame, row) + "), so nobody can say which belongs"}
		}
		exact[k] = row
		lower := strings.ToLower(k)
		if _, met := folded[lower]; met {
			row = -1
		}
		folded[lower] = row
	}
	served := make([]int, len(keysB))
	partner := make([]int, len(keysA))
	for row, k := range keysA {
		parallel.LookAt(ctx, row)
		with, ok := exact[k]
		if !ok {
			with, ok = folded[strings.ToLower(k)]
		}
		if !ok || k == "" || with < 0 {
			partner[row] = -1
			l.Alone = append(l.Alone, row)
			if k == "" {
				l.Keyless[0]++
			}
			continue
		}
		partner[row] = with
		l.Matched++
		served[with]++
	}
	for row, n := range served {
		switch {
		case n > 1:
			l.Shared++
		case n == 0:
			l.LeftOut = append(l.LeftOut, row)
			if keysB[row] == "" {
				l.Keyless[1]++
			}
		}
	}
	if l.Matched == 0 {
		return nil, &Error{Code: "no-partners", Column: key, Word: key, Detail: "no " + key + " of " + a.Name +
			" is also in " + b.Name}
	}
	return partner, nil
}

func lineOf(f *Frame, row int) string { return "line " + shortest(float64(f.Line(row))) }

// bringAlong takes over what is set aside and what was corrected in the second series, and its curves.
func (l *LinedUp) bringAlong(next, a, b *Frame, partner []int) {
	next.corrected = slices.Clone(a.corrected)
	for _, c := range b.corrected {
		for _, r := range l.Renamed {
			if r[0] == c.Column {
				c.Column = r[1]
			}
		}
		for row, with := range partner {
			if with == c.Row && next.at[c.Column] >= len(a.held) {
				next.corrected = append(next.corrected, Correction{row, c.Column, c.Was, c.Now, c.Because})
			}
		}
	}
	if b.aside != nil {
		next.aside = make([]string, len(partner))
		copy(next.aside, a.aside)
		for row, with := range partner {
			if with >= 0 && next.aside[row] == "" && b.aside[with] != "" {
				next.aside[row] = b.aside[with]
				l.AsideToo++
			}
		}
	}
	if a.slips == nil && b.slips != nil && l.Shared == 0 {
		of := make([]int, len(partner))
		for row, with := range partner {
			if of[row] = -1; with >= 0 {
				of[row] = b.slips.of[with]
			}
		}
		next.slips = &rowCurves{b.slips.curves, of}
	}
}
