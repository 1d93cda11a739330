package repair

import (
	"slices"
	"strings"
	"unicode"

	"breakbook/frames/functions"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/scan"
)

// mend makes the lines that are one slip nearer to what one entry reads.
func (s *search) mend(st state, f parser.Fault) {
	in := []rune(st.line)
	token := string(in[f.From:f.To])
	before := strings.TrimSpace(string(in[f.Before:f.From]))
	if f.Code == "range" {
		s.rows(st, f, in, token, before)
		return
	}
	s.marks(st, f, in, token, before)
	if f.Stopped || len(f.Options) > 0 || len(f.Words) > 0 && f.Code == "unknown-result" {
		s.stopped(st, f, in, token, before)
	}
	switch f.Code {
	case "wrong-dimension":
		if len(f.Names) == 1 {
			number := scan.Tokens(in[f.From:])[0]
			s.edit(st, f.From, f.To, number.Text+" "+f.Names[0], swapped)
		}
	case "expected-percent":
		s.percent(st, f, in)
	case "wrong-kind":
		s.swap(st, f, in)
		s.nearNames(st, f, in)
	default:
		s.nearNames(st, f, in)
		s.level(st, f, token)
	}
	if f.From == len(in) {
		return
	}
	s.drop(st, f.From, f.To, token)
	if f.Before > 0 && (phrase.Joins(before) || strings.EqualFold(before, "specimen")) {
		s.edit(st, f.Before, f.From, "", dropped)
	}
	if phrase.Joins(before) && before != "," && strings.Contains(strings.TrimSpace(string(in[:f.Before])), " ") {
		s.edit(st, f.Before, f.From, ",", s.comma(st))
	}
	s.transpose(st, f, in)
	s.role(st, f, token)
}

// marksNot reports whether a word turns what is said into its opposite.
func marksNot(word string) bool {
	return slices.Contains([]string{"not", "no", "without", "except", "never", "!", "nor"}, strings.ToLower(word))
}

// marks reads what other notations write with marks: => for >=, != for is not, a * b for both together; and
// numbers from one to another.
func (s *search) marks(st state, f parser.Fault, in []rune, token, before string) {
	next := scan.Tokens(in[f.To:])[0]
	text := string(in[f.To+next.Start : f.To+next.End])
	end := f.To + next.End
	switch {
	case before == "=" && (token == ">" || token == "<"):
		s.edit(st, f.Before, f.To, token+"=", removed/2)
	case before == token && (token == ">" || token == "<" || token == "="):
		s.edit(st, f.Before, f.From, "", removed)
	case token == "!" && text == "=", token == "<" && text == ">":
		s.edit(st, f.From, end, "is not", removed)
	case token == "*" && f.Code == "unexpected" && next.Kind == scan.Word:
		s.edit(st, f.Before, end, "together("+before+", "+text+")", removed)
	case f.Code == "unknown-column" && next.Kind == scan.Word && ofColumn(token): // step x
		s.edit(st, f.From, end, token+"("+text+")", removed)
	case strings.EqualFold(token, "between") && slices.Contains(f.Words, ">="):
		if first, second, two := strings.Cut(strings.ToLower(string(in[f.To:])), " and "); two {
			within := ">= " + strings.TrimSpace(first) + " and " + before + " <= " + strings.TrimSpace(second)
			s.edit(st, f.From, len(in), within, removed)
		}
	}
	for _, mark := range []string{"/", "+", "&"} {
		first, second, _ := strings.Cut(token, mark)
		if first != "" && second != "" && f.Code == "unknown-column" {
			s.edit(st, f.From, f.To, first+", "+second, pointed)
		}
	}
}

// ofColumn reports whether a word is a function that a term takes of a column.
func ofColumn(word string) bool {
	return slices.Contains(append(functions.OfColumns(), phrase.Step, phrase.Kink), strings.ToLower(word))
}

// drop leaves a token out that says nothing or joins.
func (s *search) drop(st state, from, to int, token string) {
	k := slices.Index(st.put, token)
	switch {
	case token == "" || from == 0:
	case k >= 0: // it was moved
		st.put = slices.Delete(slices.Clone(st.put), k, k+1)
		s.edit(st, from, to, "", removed)
	case phrase.Idle(token) && !marksNot(token):
		s.edit(st, from, to, "", removed)
	case phrase.Joins(token):
		s.edit(st, from, to, "", dropped)
	case s.nothing(token):
		st.erased = true
		s.edit(st, from, to, "", erased)
	}
}

// nothing reports whether a word is no name of the session, no number and no text.
func (s *search) nothing(token string) bool {
	other := strings.ContainsFunc(token, func(r rune) bool { return !unicode.IsLetter(r) })
	if other || phrase.EndingKnown(token) || marksNot(token) ||
		slices.Contains(s.lang.Words(), strings.ToLower(token)) {
		return false
	}
	if empty, met := s.empty[token]; met {
		return empty
	}
	s.empty[token] = len(s.names()) <= mostNames && len(near(token, s.names())) == 0
	return s.empty[token]
}

// names are the columns, levels, role words, results and series of the session.
func (s *search) names() []string {
	if s.all != nil {
		return s.all
	}
	series := s.known.Current()
	out := slices.Concat(phrase.RoleWords(), s.known.SeriesNames())
	for _, c := range s.known.Columns(series) {
		out = append(out, c.Name)
		if len(c.Levels) <= mostNames {
			out = append(out, c.Levels...)
		}
	}
	for _, r := range s.known.Results() {
		out = append(out, r.Name)
	}
	s.all = out
	return out
}
