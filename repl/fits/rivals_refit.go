package fits

import (
	"slices"
	"strconv"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// refit is the line that fits rivals anew on the specimens they share and sets them
// against each other: each command with every condition of the others and every column
// that has to be there.
func refit(k *session.Call, list []rival) string {
	var needed []string
	var conditions []phrase.Condition
	for _, r := range list {
		for _, c := range r.fit.Known() {
			if gone, err := r.fit.Sample.Whole.MissingIn(c); err == nil && slices.Contains(gone, true) &&
				!slices.Contains(needed, c) {
				needed = append(needed, c)
			}
		}
		if c := r.fit.Command.Clauses().For; c != nil && !slices.ContainsFunc(conditions, alike(c)) {
			conditions = append(conditions, c)
		}
	}
	for _, c := range needed {
		conditions = append(conditions, phrase.Missing{Column: phrase.ColumnRef{Column: c}, Negate: true})
	}
	var lines []string
	var again phrase.Rivals
	next := k.Session.Numbered("fit")
	for _, r := range list {
		for next++; k.Session.NameTaken("fit" + strconv.Itoa(next)); next++ {
		}
		lines = append(lines, WithCondition(r.fit.Command, conditions))
		again.Fits.List = append(again.Fits.List, phrase.Name{Text: "fit" + strconv.Itoa(next)})
	}
	return strings.Join(append(lines, phrase.Line(&again)), "; ")
}

// alike reports whether another condition reads the same.
func alike(c phrase.Condition) func(phrase.Condition) bool {
	return func(other phrase.Condition) bool { return phrase.ConditionText(other) == phrase.ConditionText(c) }
}

// WithCondition is a command with the conditions added before its own and without its name.
func WithCondition(c *phrase.Command, conditions []phrase.Condition) string {
	c = c.Copy()
	own := c.Clauses().For
	joined := lists.Where(conditions, func(one phrase.Condition) bool { return own == nil || !alike(own)(one) })
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
	return session.WithoutName(c)
}
