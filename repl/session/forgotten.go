package session

import (
	"regexp"
	"slices"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

var eachOf = regexp.MustCompile(`(?i)\beach\s+of\b`)

// MadeBy is the line that makes a forgotten result again under its name, or "".
func (s *Session) MadeBy(name string) string {
	r, ok := s.forgottenResult(name)
	if !ok || r.Command == nil {
		return ""
	}
	if _, open := s.Frame(r.Series); !open || eachOf.MatchString(r.Command.Input) { // one line, several results
		return ""
	}
	line := WithoutName(r.Command)
	if r.Command.Clauses().From == nil && r.Series != s.Current() &&
		slices.Contains(r.Command.Entry.Clauses, phrase.From) {
		line += " from " + r.Series
	}
	return line + " as " + r.Name
}

// Named is the result of that name, or the problem that there is none.
func (s *Session) Named(n phrase.Name) (Result, error) {
	r, ok := s.Result(n.Text)
	if !ok {
		return r, page.Refuse(page.CodeUnknownResult, n.At, "there is no result named "+n.Text, "show results")
	}
	return r, nil
}

// NoFit is the problem of a fit that is not there.
func (s *Session) NoFit(n phrase.Name) *page.Problem {
	p := page.Refuse(page.CodeUnknownResult, n.At, "there is no fit named "+n.Text, "show results")
	if line := s.MadeBy(n.Text); line != "" {
		p.Message, p.Hint = n.Text+" was forgotten", phrase.Try(line)
	}
	return p
}
