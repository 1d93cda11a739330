package kernel

import (
	"regexp"
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// closeSeries puts a series away. Results made on it go with it: nothing could be asked
// of them any more.
func closeSeries(k *call, cmd *phrase.Close) (*outcome, error) {
	name := cmd.Series.Text
	n, gone := k.s.without(name)
	said := page.Say(name + " is closed")
	if len(gone) > 0 {
		said = append(said, page.Word(", and with it what was made on it: "+strings.Join(gone, ", ")))
	}
	said = append(said, page.Word(". "))
	switch {
	case n.Current() == "":
		said = append(said, page.Word("No series is open now."))
	case n.Current() != k.s.Current():
		said = append(said, page.Word("Now working on "+n.Current()+"."))
	default:
		said = append(said, page.Word("Still working on "+n.Current()+"."))
	}
	k.e.Findings = []page.Sentence{said}
	return becomes(n), nil
}

// forget drops a result; what made it is remembered, for what was made of it.
func forget(k *call, cmd *phrase.Forget) (*outcome, error) {
	name := cmd.Result.Text
	k.e.Findings = []page.Sentence{page.Say(name + " is forgotten; its name is free again.")}
	return becomes(k.s.forgetting(name)), nil
}

var eachOf = regexp.MustCompile(`(?i)\beach\s+of\b`)

// MadeBy is the line that makes a forgotten result again under its name, or "".
func (s *Session) MadeBy(name string) string {
	r, ok := s.forgottenResult(name)
	if !ok || r.command == nil {
		return ""
	}
	if _, open := s.frame(r.series); !open || eachOf.MatchString(r.command.Input) { // one line, several results
		return ""
	}
	line := withoutName(r.command)
	if r.command.Clauses().From == nil && r.series != s.Current() && slices.Contains(r.command.Entry.Clauses, phrase.From) {
		line += " from " + r.series
	}
	return line + " as " + r.name
}

// noFit is the problem of a fit that is not there.
func (s *Session) noFit(n phrase.Name) *page.Problem {
	p := &page.Problem{Code: "unknown-result", Message: "there is no fit named " + n.Text, At: n.At, Hint: "show results"}
	if line := s.MadeBy(n.Text); line != "" {
		p.Message, p.Hint = n.Text+" was forgotten", line
	}
	return p
}
