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
	var needed, conditions []string
	for _, r := range list {
		for _, c := range r.fit.known() {
			if gone, err := r.fit.sample.whole.MissingIn(c); err == nil && slices.Contains(gone, true) && !slices.Contains(needed, c) {
				needed = append(needed, c)
			}
		}
		if c := r.fit.command.Clauses.For; c != nil {
			text, ok := conditionText(c)
			if !ok {
				return "fit them again with the same condition after `for`"
			}
			if !slices.Contains(conditions, text) {
				conditions = append(conditions, text)
			}
		}
	}
	for _, c := range needed {
		conditions = append(conditions, c+" is not missing")
	}
	var lines, names []string
	next := k.s.named["fit"]
	for _, r := range list {
		line, ok := withCondition(r.fit.command, conditions)
		if !ok {
			return "fit them again with the same condition after `for`"
		}
		for next++; k.s.taken("fit" + strconv.Itoa(next)); next++ {
		}
		lines, names = append(lines, line), append(names, "fit"+strconv.Itoa(next))
	}
	return strings.Join(lines, "; ") + "; rivals " + strings.Join(names, ", ")
}

// withCondition is a command with the conditions added to its own and without its name;
// ok is false where its own joins by `or`, which an added `and` would bind otherwise.
func withCondition(c *phrase.Command, conditions []string) (string, bool) {
	line := []rune(c.Input)
	own := ""
	if c.Clauses.For != nil {
		if _, isOr := c.Clauses.For.(phrase.Or); isOr {
			return "", false
		}
		own, _ = conditionText(c.Clauses.For)
	}
	added := slices.DeleteFunc(slices.Clone(conditions), func(s string) bool { return s == own })
	joined := strings.Join(added, " and ")
	if own != "" && joined != "" {
		at := c.Clauses.For.Place() - 1
		line = slices.Concat(line[:at], []rune(joined+" and "), line[at:])
	}
	if as := c.Clauses.As; as != nil {
		text := string(line)
		if cut := strings.LastIndex(strings.ToLower(text), " as "+strings.ToLower(as.Text)); cut >= 0 {
			text = text[:cut] + text[cut+len(" as "+as.Text):]
		}
		line = []rune(text)
	}
	if own == "" && joined != "" {
		line = append(line, []rune(" for "+joined)...)
	}
	return string(line), true
}

// conditionText writes a condition as it is typed; ok is false for one that joins by `or`
// at its top.
func conditionText(c phrase.Condition) (string, bool) {
	switch c := c.(type) {
	case phrase.And:
		left, okLeft := conditionText(c.Left)
		right, okRight := conditionText(c.Right)
		return left + " and " + right, okLeft && okRight
	case phrase.Is:
		var values []string
		for _, v := range c.Values {
			values = append(values, valueText(v))
		}
		word := " is "
		switch {
		case c.Negate && len(values) > 1:
			word = " is not among "
		case c.Negate:
			word = " is not "
		case len(values) > 1:
			word = " among "
		}
		return c.Column.Column + word + strings.Join(values, ", "), true
	case phrase.Inequality:
		return c.Column.Column + " " + c.Op + " " + amountText(c.Value), true
	case phrase.Missing:
		if c.Negate {
			return c.Column.Column + " is not missing", true
		}
		return c.Column.Column + " is missing", true
	case phrase.Not:
		inner, ok := conditionText(c.Inner)
		return "not (" + inner + ")", ok
	}
	return "", false
}

func valueText(v phrase.Value) string {
	if v.Amount != nil {
		return amountText(*v.Amount)
	}
	return strconv.Quote(v.Text)
}

func amountText(a phrase.Amount) string {
	x := a.Value
	unit := a.Unit
	if a.Percent {
		x, unit = 100*x, "%"
	}
	return strings.TrimSpace(strconv.FormatFloat(x, 'g', -1, 64) + " " + unit)
}
