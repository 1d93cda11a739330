package session

import (
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/repl/phrase"
)

// The session tells the parser, the completion and the hints what exists.
var _ phrase.Known = (*Session)(nil)

// Current is the name of the current series, or "".
func (s *Session) Current() string { return s.current }

// SeriesNames lists the open series in the order they were opened.
func (s *Session) SeriesNames() []string {
	return lists.Mapped(s.opened, func(o opened) string { return o.name })
}

// Columns describes the columns of a series; none for an unknown one.
func (s *Session) Columns(series string) []phrase.KnownColumn {
	f, ok := s.Frame(series)
	if !ok {
		return nil
	}
	var out []phrase.KnownColumn
	for _, c := range f.Columns() {
		header := c.Header
		if !strings.HasPrefix(header, c.Label) { // the column was given another name
			header = ""
		}
		out = append(out, phrase.KnownColumn{
			Name: c.Name, Label: c.Label, Header: header, Kind: c.Kind.String(), Unit: c.Unit.String(),
			Levels: c.Levels,
		})
	}
	return out
}

// Results lists the named results, the latest last.
func (s *Session) Results() []phrase.KnownResult {
	var out []phrase.KnownResult
	for _, r := range s.results.all() {
		one := phrase.KnownResult{Name: r.Name, Kind: r.Kind, Series: r.Series, Columns: r.Columns,
			Doubted: len(r.Doubts) > 0}
		if r.Command != nil {
			fit, ok := r.Command.Do.(*phrase.Fit)
			one.Blocked = ok && fit.Blocks != nil
		}
		out = append(out, one)
	}
	return out
}

// EachSpecimen visits the names of a series' specimens, row by row, until visit is false.
func (s *Session) EachSpecimen(series string, visit func(name string) bool) {
	if f, ok := s.Frame(series); ok {
		f.EachSpecimen(visit)
	}
}

// LikelyColumn is the column of a series that most likely has a role that none has, or "".
func (s *Session) LikelyColumn(series, role string) (column string, sure bool) {
	f, ok := s.Frame(series)
	if !ok {
		return "", false
	}
	return f.Likely(frames.Role(role))
}

// MostlyNumbers reports whether most of a column's cells are numbers.
func (s *Session) MostlyNumbers(series, column string) bool {
	f, ok := s.Frame(series)
	return ok && f.MostlyNumbers(column)
}

// RoleColumn is the column of a series marked with a role, or "".
func (s *Session) RoleColumn(series, role string) string {
	f, ok := s.Frame(series)
	if !ok {
		return ""
	}
	c, _ := f.RoleColumn(frames.Role(role))
	return c.Name
}
