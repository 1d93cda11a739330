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
func closeSeries(k *call, cmd *phrase.Close) (*Session, error) {
	name := cmd.Series.Text
	n := k.s.clone()
	n.closed = append(slices.Clip(n.closed), k.s.sourcesOf(name)...)
	n.opened = slices.DeleteFunc(n.opened, func(o opened) bool { return o.name == name })
	var gone []string
	n.results = n.results.keeping(func(r result) bool {
		if r.series == name {
			gone = append(gone, r.name)
		}
		return r.series != name
	})
	if n.current == name {
		n.current = ""
		if last := len(n.opened) - 1; last >= 0 {
			n.current = n.opened[last].name
		}
	}
	said := page.Say(name + " is closed")
	if len(gone) > 0 {
		said = append(said, page.Word(", and with it what was made on it: "+strings.Join(gone, ", ")))
	}
	said = append(said, page.Word(". "))
	switch {
	case n.current == "":
		said = append(said, page.Word("No series is open now."))
	case n.current != k.s.current:
		said = append(said, page.Word("Now working on "+n.current+"."))
	default:
		said = append(said, page.Word("Still working on "+n.current+"."))
	}
	k.e.Findings = []page.Sentence{said}
	return n, nil
}

// forget drops a result; what made it is remembered, for what was made of it.
func forget(k *call, cmd *phrase.Forget) (*Session, error) {
	name := cmd.Result.Text
	n := k.s.clone()
	gone, _ := n.result(name)
	n.results = n.results.keeping(func(r result) bool { return r.name != name })
	n.forgotten = slices.DeleteFunc(n.forgotten, func(r result) bool { return r.name == name })
	n.forgotten = append(n.forgotten, result{name: name, kind: gone.kind, series: gone.series, command: gone.command})
	k.e.Findings = []page.Sentence{page.Say(name + " is forgotten; its name is free again.")}
	return n, nil
}

var eachOf = regexp.MustCompile(`(?i)\beach\s+of\b`)

// MadeBy is the line that makes a forgotten result again under its name, or "".
func (s *Session) MadeBy(name string) string {
	i := slices.IndexFunc(s.forgotten, func(r result) bool { return strings.EqualFold(r.name, name) })
	if i < 0 || s.forgotten[i].command == nil {
		return ""
	}
	r := s.forgotten[i]
	if _, open := s.frame(r.series); !open || eachOf.MatchString(r.command.Input) { // one line, several results
		return ""
	}
	line := withoutName(r.command)
	if r.command.Clauses().From == nil && r.series != s.current && slices.Contains(r.command.Entry.Clauses, phrase.From) {
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
