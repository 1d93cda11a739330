package session

import (
	"context"
	"fmt"
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Candidate is a column that may have driven a response.
type Candidate struct {
	frames.Column
	Few []float64 // the two or three values of a number that has no more, in order; nil for others
}

// LeftOut is a column that was not tried as a factor, and why.
type LeftOut struct {
	Column string `id:"column"`
	Why    string `id:"why"`
}

// fewValues is how many values a number may have to be taken for levels.
const fewValues = 3

// Candidates are the columns of the sample that may have driven a response, and those that may not,
// with the reason: of all columns, or of those named. Of a column and what was made of it the first is tried.
func (k *Call) Candidates(s *Sample, response string, among *phrase.Columns) ([]Candidate, []LeftOut, error) {
	var out []Candidate
	var excluded []LeftOut
	failure, sure := s.Frame.Likely(frames.Failure)
	for _, c := range s.Frame.Columns() {
		why := ""
		switch {
		case c.Name == response:
			continue
		case among == nil && sure && c.Name == failure:
			why = "its header says that it came out of the test"
		case among == nil:
			why = NoProperty(c)
		case !slices.ContainsFunc(among.List, func(r phrase.ColumnRef) bool { return r.Column == c.Name }):
			continue
		case c.Kind != frames.Number && c.Kind != frames.Category:
			why = itIsText
		}
		var few []float64
		if why == "" {
			var err error
			if few, why, err = s.varies(k.Context, c); err != nil {
				return nil, nil, err
			}
		}
		if why != "" {
			excluded = append(excluded, LeftOut{c.Name, why})
			continue
		}
		out = append(out, Candidate{c, few})
	}
	out, excluded = s.firstHand(out, excluded, response, among)
	if among != nil {
		for _, r := range among.List {
			if r.Column == response {
				return nil, nil, page.Refuse(page.CodeResponseAmongTerms, r.At, response+" cannot explain itself",
					"leave it out of the columns after among")
			}
		}
	}
	return out, excluded, nil
}

// NotTried says of the columns that were left out and may be factors all the same that they were, and why.
func (s *Sample) NotTried(ctx context.Context, excluded []LeftOut) page.Sentence {
	failure, sure := s.Frame.Likely(frames.Failure)
	open := lists.Where(excluded, func(l LeftOut) bool {
		c, one := s.Frame.Column(l.Column)
		return !one || NoProperty(c) == "" && !IsBlock(c) && !(sure && c.Name == failure) && len(c.From) == 0 &&
			s.Distinct(ctx, c.Name) > 1
	})
	const most = 3
	rest := len(open) - most
	return page.If(len(open) > 0, "Not tried: ", page.Joined(open[:min(most, len(open))], "; ",
		func(l LeftOut) page.Sentence { return page.Say(l.Column + " (" + l.Why + ")") }),
		page.If(rest > 0, "; and ", rest, " more"), ".")
}

// firstHand leaves out the candidates that were made of the response and are not marked as given, or that were made of
// another candidate: of that one alone, where the user named both.
func (s *Sample) firstHand(all []Candidate, excluded []LeftOut, response string, among *phrase.Columns) ([]Candidate,
	[]LeftOut) {
	made := func(c Candidate) bool {
		return slices.ContainsFunc(all, func(o Candidate) bool { return slices.Contains(c.From, o.Name) })
	}
	var out []Candidate
	for i, c := range all {
		source := slices.IndexFunc(all, func(o Candidate) bool {
			return slices.Contains(c.From, o.Name) && !made(o) && (among == nil || s.Frame.Akin(c.Name, o.Name))
		})
		twin := slices.IndexFunc(all[:i], func(o Candidate) bool { return s.Frame.Akin(c.Name, o.Name) })
		switch {
		case c.Role != frames.Given && slices.Contains(c.From, response):
			excluded = append(excluded, LeftOut{c.Name, "it is made of " + response})
		case source >= 0:
			excluded = append(excluded, LeftOut{c.Name, "it is made of " + all[source].Name + ", which is tried"})
		case twin >= 0 && !slices.Contains(all[twin].From, c.Name):
			excluded = append(excluded, LeftOut{c.Name, "it is made of the same column as " + all[twin].Name +
				", which is tried"})
		default:
			out = append(out, c)
		}
	}
	return out, excluded
}

// varies tells the few values of a number column, and why a column does not vary enough to be a
// factor, "" where it does.
func (s *Sample) varies(ctx context.Context, c frames.Column) (few []float64, why string, err error) {
	n := map[string]int{}
	present := 0
	for row := range s.Frame.Len() {
		parallel.LookAt(ctx, row)
		if text, ok := s.Frame.Cell(c.Name, row); ok {
			n[text]++
			present++
		}
	}
	missing := s.Frame.Len() - present
	most, common := 0, ""
	for text, times := range n {
		if times > most || times == most && text < common {
			most, common = times, text
		}
	}
	switch rest := present - most; {
	case len(n) < 2:
		return nil, "it is the same for every specimen", nil
	case 5*missing > s.Frame.Len():
		return nil, fmt.Sprintf("it is missing for %d of %d specimens", missing, s.Frame.Len()), nil
	case rest < 3 && 10*rest < present:
		return nil, fmt.Sprintf("it hardly varies: %s for %d of %d specimens", common, most, present), nil
	case c.Kind == frames.Category && 2*len(n) > present:
		return nil, "nearly every specimen has a " + c.Name + " of its own", nil
	}
	if c.Kind != frames.Number || len(n) > fewValues {
		return nil, "", nil
	}
	values, err := s.Frame.Numbers(c.Name)
	if err != nil {
		return nil, "", err
	}
	for row, x := range values {
		if _, ok := s.Frame.Cell(c.Name, row); ok && !slices.Contains(few, x) {
			few = append(few, x)
		}
	}
	slices.Sort(few)
	if len(few) > fewValues {
		return nil, "", nil
	}
	return few, "", nil
}

// FewSaid names the few values of a number: "18, 24 and 34 mm".
func (c Candidate) FewSaid() page.Sentence {
	parts := lists.Mapped(c.Few, func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) })
	return page.Say(And(parts), page.If(!c.Unit.None(), " ", page.Unit(c.Unit.String())))
}
