package reading

import (
	"context"
	"math"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// roleNames are the plain names that say what a column is for, the surest first.
// A block is never guessed: it changes what an analysis means.
var roleNames = []struct {
	role  frames.Role
	names []string
}{
	{frames.Load, notation.LoadNames},
	{frames.Failure, []string{"failure", "failure_mode", "mode", "break_mode", "mode_of_failure", "failed_in",
		"failed_at", "broke_in", "broke_at",
		"failure_type"}},
	// which may also be a kind of joint, so only where each is met once
	{frames.Specimen, append(slices.Clone(notation.SpecimenNames), "joint")},
}

// guessRoles marks the columns whose names leave little doubt: one load (numbers, or
// text for a stray word), one failure (not numbers), one specimen (no value twice).
func guessRoles(ctx context.Context, columns []*columnReader) {
	for _, r := range roleNames {
		for _, name := range r.names {
			i := slices.IndexFunc(columns, func(c *columnReader) bool { return c.Name == name && c.suits(ctx, r.role) })
			if i >= 0 {
				columns[i].Role = r.role
				break
			}
		}
	}
}

// guessOrder marks the one column whose name says that it is the order of testing, if its numbers could be one: whole,
// none missing, and each once. Where several could, or a tenth of the rows at most have no number of their own, none
// is marked and the remark asks.
func guessOrder(ctx context.Context, columns []*columnReader, header int) []frames.Remark {
	var could, nearly []*columnReader
	for _, c := range columns {
		if c.Role != frames.NoRole || !slices.Contains(notation.OrderNames, c.Name) || !c.wholeNumbers(ctx) {
			continue
		}
		switch without := c.rowsWithoutOwn(ctx); {
		case without == 0:
			could = append(could, c)
		case without*10 <= len(c.values):
			nearly = append(nearly, c)
		}
	}
	switch {
	case len(could) == 1:
		could[0].Role = frames.Order
	case len(could) > 1:
		return []frames.Remark{{Code: "several-orders", Column: could[0].Name, Line: header, Word: could[1].Name}}
	case len(nearly) > 0:
		return []frames.Remark{{Code: "unsure-order", Column: nearly[0].Name, Line: header,
			Count: nearly[0].rowsWithoutOwn(ctx)}}
	}
	return nil
}

// saysRole tells whether a plain name is one of those that say what a column is for.
func saysRole(name string) bool {
	for _, r := range roleNames {
		if slices.Contains(r.names, name) {
			return true
		}
	}
	return false
}

func (c *columnReader) suits(ctx context.Context, r frames.Role) bool {
	if c.present == 0 {
		return r != frames.Specimen
	}
	switch r {
	case frames.Load:
		return c.mode == numbers || c.strayed
	case frames.Failure:
		return c.mode != numbers && !c.strayed
	}
	return c.distinct(ctx)
}

// wholeNumbers tells whether a column holds whole numbers without a unit, and nothing else.
func (c *columnReader) wholeNumbers(ctx context.Context) bool {
	if c.mode != numbers || c.present == 0 || !c.Unit.None() {
		return false
	}
	for row, x := range c.values {
		parallel.LookAt(ctx, row)
		if x != math.Trunc(x) && !math.IsNaN(x) {
			return false
		}
	}
	return true
}

// rowsWithoutOwn counts the rows whose number is missing, or was met before.
func (c *columnReader) rowsWithoutOwn(ctx context.Context) int {
	if c.present == len(c.values) && c.distinct(ctx) {
		return 0
	}
	met := map[float64]bool{}
	for row, x := range c.values {
		parallel.LookAt(ctx, row)
		if !math.IsNaN(x) {
			met[x] = true
		}
	}
	return len(c.values) - len(met)
}

// namesThings are columns whose cells are labels: a letter after a number is no unit there.
func namesThings(name string) bool {
	return notation.Says(name, notation.CountWords) || notation.Says(name, []string{"no", "nr"})
}

// massAsLoad: a force-like column in a mass unit, as a luggage scale shows it.
func (c *columnReader) massAsLoad() bool {
	return c.Unit.Dimension() == "mass" && (notation.Says(c.Name, []string{"load", "force"}) ||
		strings.HasSuffix(c.Name, "load"))
}
