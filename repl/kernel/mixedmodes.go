package kernel

import (
	"context"
	"slices"

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
	if k.s.knowsModes(k.e.Series) || !k.mixes(a.sample, a.response, a.columns) {
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
	var on []string
	if t, ok := phrase.Part[phrase.Terms](k.c); ok && t.At > 0 {
		on = spelled(t).columns
	} else {
		on = slices.DeleteFunc(slices.Clone(a.columns), func(c string) bool { return c == a.response.column.Name })
		on = slices.Compact(on)
	}
	terms := termsOf(on)
	for _, m := range order {
		until := phrase.Until{Clauses: k.whose(), Y: phrase.Response{Column: phrase.ColumnRef{Column: a.response.column.Name}},
			Mode: phrase.Is{Column: phrase.ColumnRef{Column: column}, Values: []phrase.Value{{Text: modes[m]}}}}
		for _, terms := range []*phrase.Terms{&terms, nil} {
			if until.Terms = terms; terms != nil && len(terms.List) == 0 {
				continue
			}
			line := phrase.Line(&until)
			if a.sample.frame.Len() > mostTried || k.can(line) {
				return line
			}
		}
	}
	return ""
}

// can reports whether a line that fits one way of breaking can be carried out.
func (k *call) can(line string) bool {
	c, err := phrase.Parse(phrase.Piece{Text: line, At: 1}, k.s)
	if err != nil {
		return false
	}
	until, ok := c.Do.(*phrase.Until)
	if !ok {
		return false
	}
	again := &call{ctx: k.ctx, s: k.s, c: c, e: &page.Entry{}, back: []bool{}}
	terms, _ := phrase.Part[phrase.Terms](c)
	_, err = again.oneMode(until.Y, until.Mode, terms, until.Scatter)
	return err == nil
}
