package bench

import (
	"context"
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
	"breakbook/repl/session/fitted"
)

// mixedModes tells, once a series, that loads of different ways of breaking are together.
func mixedModes(column string, modes []string, counts []int, measure, line string) page.Sentence {
	s := page.Say("These specimens did not all break alike (" + column + ": ")
	for i, m := range modes {
		if i > 0 {
			s = append(s, page.Word(", "))
		}
		s = append(s, page.Say(m+" ", counts[i])...)
	}
	s = append(s, page.Word("). This answers what the joint carries, by whichever part gives way first; what one part "+
		"would carry is another question, since a "+
		measure+" at which another part gave way is only a lower bound for it. ISO 12122-5, for connections, "+
		"takes it that all specimens of a sample fail in one mode."))
	if slices.ContainsFunc(modes, session.NothingBroke) {
		s = append(s, page.Word(" What did not break carried that "+measure+
			" or more, and counts as if it had broken there."))
	}
	if line != "" {
		s = append(s, page.Word(" For that question, type: "+line))
	}
	return s
}

// modesMet are the ways of breaking of the specimens used, and how many broke so, in the
// order of the levels; none without a column marked as failure.
func modesMet(s *session.Sample, ctx context.Context) (column string, modes []string, counts []int) {
	c, ok := s.Frame.RoleColumn(frames.Failure)
	if !ok {
		return "", nil, nil
	}
	number := map[string]int{}
	for row := range s.Frame.Len() {
		parallel.LookAt(ctx, row)
		if text, ok := s.Frame.Cell(c.Name, row); ok {
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

// mixes reports whether an analysis puts loads of several ways of breaking together without
// regard to them.
func mixes(k *session.Call, s *session.Sample, r *session.Response, columns []string) bool {
	if k.Command.Entry.Kind == "strength" || !r.IsLoad() {
		return false
	}
	column, modes, _ := modesMet(s, k.Context)
	return len(modes) > 1 && !slices.Contains(columns, column)
}

// modeCautions warn, the first time in a series, of loads of several ways of breaking.
func modeCautions(k *session.Call) []page.Sentence {
	a := k.Analysis
	if k.Session.Knows(k.Entry.Series, session.MixedModes) || !mixes(k, a.Sample, a.Response, a.Columns) {
		return nil
	}
	column, modes, counts := modesMet(a.Sample, k.Context)
	return []page.Sentence{mixedModes(column, modes, counts, a.Response.Measure(), untilLine(k, column, modes, counts))}
}

// untilLine is the line for what one way of breaking would carry, the commonest one first, on
// what the analysis looked at; "" where no such line works.
func untilLine(k *session.Call, column string, modes []string, counts []int) string {
	order := session.AllRows(len(modes))
	slices.SortStableFunc(order, func(a, b int) int { return counts[b] - counts[a] })
	a := k.Analysis
	var on []string
	if t, ok := phrase.Part[phrase.Terms](k.Command); ok && t.At > 0 {
		on = session.FormulaOf(t).Columns
	} else {
		on = slices.DeleteFunc(slices.Clone(a.Columns), func(c string) bool { return c == a.Response.Column.Name })
		on = slices.Compact(on)
	}
	if cmd, ok := k.Command.Do.(*phrase.Characteristic); ok { // the blocks it allows for are no terms
		on = limitColumns(k, cmd)
	}
	terms := phrase.TermsOf(on)
	for _, m := range order {
		until := phrase.Until{Clauses: k.Scope(),
			Y:    phrase.Response{Column: phrase.ColumnRef{Column: a.Response.Column.Name}},
			Mode: phrase.Is{Column: phrase.ColumnRef{Column: column}, Values: []phrase.Value{{Text: modes[m]}}}}
		for _, terms := range []*phrase.Terms{&terms, nil} {
			if until.Terms = terms; terms != nil && len(terms.List) == 0 {
				continue
			}
			if line := phrase.Line(&until); a.Sample.Frame.Len() > mostTried || works(k, line) {
				return line
			}
		}
	}
	return ""
}

// limitColumns are the columns whose levels, or joints, a limit is of.
func limitColumns(k *session.Call, cmd *phrase.Characteristic) []string {
	switch of := cmd.Subject.(type) {
	case phrase.LimitsByLevels:
		return []string{of.A.Column}
	case phrase.LimitsOfFit:
		r, _ := k.Session.Result(of.Fit.Text)
		if f, ok := fitted.Of(r); ok {
			return f.Columns()
		}
	}
	return nil
}
