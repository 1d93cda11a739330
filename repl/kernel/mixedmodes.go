package kernel

import (
	"context"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// modesMet are the ways of breaking of the specimens used, and how many broke so, in the
// order of the levels; none without a column marked as failure.
func (s *sample) modesMet(ctx context.Context) (column string, modes []string, counts []int) {
	c, ok := s.frame.RoleColumn(frames.Failure)
	if !ok {
		return "", nil, nil
	}
	number := map[string]int{}
	for row := range s.frame.Len() {
		parallel.LookAt(ctx, row)
		if text, ok := s.frame.Cell(c.Name, row); ok {
			number[text]++
		}
	}
	order := c.Levels
	if c.Kind != frames.Category {
		return "", nil, nil
	}
	for _, level := range order {
		if n := number[level]; n > 0 {
			modes, counts = append(modes, level), append(counts, n)
		}
	}
	return c.Name, modes, counts
}

// isLoad reports whether the response is what a joint carried.
func (r *response) isLoad() bool {
	return r.column.Role == frames.Load || r.column.Unit.Dimension() == "force"
}

// mixes reports whether an analysis puts loads of several ways of breaking together without
// regard to them.
func (k *call) mixes(s *sample, r *response, columns []string) bool {
	if k.c.Entry.Kind == "strength" || !r.isLoad() {
		return false
	}
	column, modes, _ := s.modesMet(k.ctx)
	return len(modes) > 1 && !slices.Contains(columns, column)
}

// modeCautions warn, the first time in a series, of loads of several ways of breaking.
func (k *call) modeCautions() []page.Sentence {
	a := k.analysis
	if k.s.mixed[k.e.Series] || !k.mixes(a.sample, a.response, a.columns) {
		return nil
	}
	column, modes, counts := a.sample.modesMet(k.ctx)
	return []page.Sentence{say.MixedModes(column, modes, counts, a.response.measure(), k.untilLine(column, modes, counts))}
}

// untilLine is the line for what one way of breaking would carry, the commonest one first, on
// what the analysis looked at; "" where no such line works.
func (k *call) untilLine(column string, modes []string, counts []int) string {
	order := allRows(len(modes))
	slices.SortStableFunc(order, func(a, b int) int { return counts[b] - counts[a] })
	a := k.analysis
	on := ""
	if t, ok := k.c.Slots["terms"].(phrase.Terms); ok && t.At > 0 {
		on = " on " + strings.Join(spelled(t).columns, ", ")
	} else if list := slices.DeleteFunc(slices.Clone(a.columns), func(c string) bool { return c == a.response.column.Name }); len(list) > 0 {
		on = " on " + strings.Join(slices.Compact(list), ", ")
	}
	for _, m := range order {
		for _, terms := range []string{on, ""} {
			line := "fit " + a.response.column.Name + " until " + column + " is " + typedLevel(modes[m]) + terms + k.whose()
			if a.sample.frame.Len() > mostTried || k.can(line) {
				return line
			}
		}
	}
	return ""
}

// typedLevel is a level as it can be typed.
func typedLevel(level string) string {
	if strings.IndexFunc(level, func(r rune) bool { return !isPlain(r) }) >= 0 || level == "" {
		return `"` + level + `"`
	}
	return level
}

func isPlain(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_'
}

// can reports whether a line that fits one way of breaking can be carried out.
func (k *call) can(line string) bool {
	c, err := phrase.Parse(phrase.Piece{Text: line, At: 1}, k.s)
	if err != nil || c.Entry.Name != "until" {
		return false
	}
	again := &call{ctx: k.ctx, s: k.s, c: c, e: &page.Entry{}, back: []bool{}}
	terms, _ := c.Slots["terms"].(phrase.Terms)
	_, err = again.oneMode(terms)
	return err == nil
}
