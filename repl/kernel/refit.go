package kernel

import (
	"slices"
	"strconv"
	"strings"

	"breakbook/repl/phrase"
)

// refit is the line that fits rivals anew on the specimens they share and sets them
// against each other: each command with every condition of the others and every column
// that has to be there.
func (k *call) refit(list []rival) string {
	var needed []string
	var conditions []phrase.Condition
	for _, r := range list {
		for _, c := range r.fit.known() {
			if gone, err := r.fit.sample.whole.MissingIn(c); err == nil && slices.Contains(gone, true) && !slices.Contains(needed, c) {
				needed = append(needed, c)
			}
		}
		if c := r.fit.command.Clauses().For; c != nil && !slices.ContainsFunc(conditions, alike(c)) {
			conditions = append(conditions, c)
		}
	}
	for _, c := range needed {
		conditions = append(conditions, phrase.Missing{Column: phrase.ColumnRef{Column: c}, Negate: true})
	}
	var lines []string
	var again phrase.Rivals
	next := k.s.numbered("fit")
	for _, r := range list {
		for next++; k.s.taken("fit" + strconv.Itoa(next)); next++ {
		}
		lines = append(lines, withCondition(r.fit.command, conditions))
		again.Fits.List = append(again.Fits.List, phrase.Name{Text: "fit" + strconv.Itoa(next)})
	}
	return strings.Join(append(lines, phrase.Line(&again)), "; ")
}

// alike reports whether another condition reads the same.
func alike(c phrase.Condition) func(phrase.Condition) bool {
	return func(other phrase.Condition) bool { return phrase.ConditionText(other) == phrase.ConditionText(c) }
}

// withCondition is a command with the conditions added before its own and without its name.
func withCondition(c *phrase.Command, conditions []phrase.Condition) string {
	c = c.Copy()
	own := c.Clauses().For
	var joined []phrase.Condition
	for _, one := range conditions {
		if own == nil || !alike(own)(one) {
			joined = append(joined, one)
		}
	}
	if own != nil {
		joined = append(joined, own)
	}
	var all phrase.Condition
	for i, one := range joined {
		if all = phrase.Condition(phrase.And{Left: all, Right: one}); i == 0 {
			all = one
		}
	}
	c.Clauses().For = all
	return withoutName(c)
}
