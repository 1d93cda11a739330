package pictures

import (
	"math"

	"breakbook/frames/functions"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// asideValues are the specimens of a sample that are set aside and have a value of the response: their
// rows in the whole series, and those values.
func asideValues(s *session.Sample, y phrase.Response) (rows []int, values []float64, err error) {
	if len(s.Aside) == 0 {
		return nil, nil, nil
	}
	all, err := s.Whole.Numbers(y.Column.Column)
	if err != nil {
		return nil, nil, err
	}
	of, _ := functions.Named(y.Function)
	for _, row := range s.Aside {
		if v := of(all[row]); !math.IsNaN(v) && !math.IsInf(v, 0) {
			rows, values = append(rows, row), append(values, v)
		}
	}
	return rows, values, nil
}

// asideByLevel are the hollow marks of specimens that are set aside, on the places that their levels of some
// columns have.
func asideByLevel(s *session.Sample, y phrase.Response, columns []string, place, look func(levels []string) int) (
	page.Points, error) {
	out := page.Points{Aside: true}
	rows, values, err := asideValues(s, y)
	if err != nil {
		return out, err
	}
	for i, row := range rows {
		levels := make([]string, len(columns))
		for j, c := range columns {
			levels[j], _ = s.Whole.Cell(c, row)
		}
		if at := place(levels); at >= 0 {
			out.Add(float64(at), values[i], look(levels), s.Whole.SpecimenName(row))
		}
	}
	return out, nil
}

// asideAgainst are the hollow marks of specimens that are set aside, against a number column, with the look
// of their level of another column where one is named.
func asideAgainst(s *session.Sample, y phrase.Response, against, by string) (page.Points, error) {
	out := page.Points{Aside: true}
	rows, values, err := asideValues(s, y)
	if err != nil || len(rows) == 0 {
		return out, err
	}
	at, err := s.Whole.Numbers(against)
	if err != nil {
		return out, err
	}
	c, _ := s.Frame.Column(by)
	for i, row := range rows {
		if math.IsNaN(at[row]) {
			continue
		}
		look := 0
		if level, ok := s.Whole.Cell(by, row); ok {
			look = session.LookOf(c, level)
		}
		out.Add(at[row], values[i], look, s.Whole.SpecimenName(row))
	}
	return out, nil
}

// leftOutNote says how many specimens the picture leaves out, and how many of those are hollow marks on it;
// nil where it has all.
func leftOutNote(s *session.Sample, hollow int) page.Sentence {
	var parts []page.Sentence
	for _, group := range []struct {
		n   int
		how string
	}{{hollow, " set aside (hollow)"}, {s.Counts.SetAside - hollow, " set aside (not drawn)"},
		{s.Counts.Missing, " missing"}} {
		if group.n > 0 {
			parts = append(parts, page.Say(group.n, group.how))
		}
	}
	return page.Joined(parts, ", ", func(p page.Sentence) page.Sentence { return p })
}

// andNote adds a part to a note.
func andNote(note page.Sentence, parts ...page.Sentence) page.Sentence {
	for _, p := range parts {
		switch {
		case len(p) == 0:
		case len(note) == 0:
			note = p
		default:
			note = page.Say(note, "; ", p)
		}
	}
	return note
}
