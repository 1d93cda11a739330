package reading

import (
	"context"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
)

// roleNames are the plain names that say what a column is for, the surest first.
// A block is never guessed: it changes what an analysis means.
var roleNames = []struct {
	role  frames.Role
	names []string
}{
	{frames.Load, frames.LoadNames},
	{frames.Failure, []string{"failure", "failure_mode", "mode", "break_mode", "mode_of_failure", "failed_in",
		"failed_at", "broke_in", "broke_at",
		"failure_type"}},
	// which may also be a kind of joint, so only where each is met once
	{frames.Specimen, append(slices.Clone(frames.SpecimenNames), "joint")},
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

// namesThings are columns whose cells are labels: a letter after a number is no unit there.
func namesThings(name string) bool {
	return notation.Says(name, notation.CountWords) || notation.Says(name, []string{"no", "nr"})
}

// massAsLoad: a force-like column in a mass unit, as a luggage scale shows it.
func (c *columnReader) massAsLoad() bool {
	return c.Unit.Dimension() == "mass" && (notation.Says(c.Name, []string{"load", "force"}) ||
		strings.HasSuffix(c.Name, "load"))
}
