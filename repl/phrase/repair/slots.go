package repair

import (
	"slices"
	"strings"

	"breakbook/frames/meant"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/scan"
)

// role puts the column in that the series has for it, where one was left out.
func (s *search) role(st state, f parser.Fault, token string) {
	if !f.Stopped || f.Code != "expected-column" || !phrase.Joins(token) || st.erased {
		return
	}
	for _, role := range []string{"load", "failure"} {
		if c := s.known.RoleColumn(s.known.Current(), role); c != "" && slices.Contains(f.Names, c) {
			s.edit(st, f.From, f.From, role, swapped)
		}
	}
}

// nearNames puts names in the place of what nearly spells them, of up to three words.
func (s *search) nearNames(st state, f parser.Fault, in []rune) {
	if len(f.Names) == 0 || f.From == len(in) {
		return
	}
	end := f.To
	for n := 0; n < 3; n++ {
		typed := string(in[f.From:end])
		among := near(typed, f.Names)
		if f.Code == "unknown-level" && len(among) == 0 && len(f.Names) <= fewNames {
			among = meant.Nearest(typed, f.Names)
		}
		for _, c := range among {
			if c.Halves > 0 || f.Code == "unknown-unit" {
				s.edit(st, f.From, end, phrase.Spelled(c.Name), slip(c)+10*n)
			}
		}
		for _, name := range f.Names {
			rest, cut := strings.CutPrefix(strings.ToLower(typed), name)
			if cut && n == 0 && len(rest) > 1 && len(name) > 2 {
				s.edit(st, f.From, f.From+len([]rune(name)), name, glued)
			}
		}
		next := scan.Tokens(in[end:])[0]
		if next.Kind != scan.Word && next.Kind != scan.Number {
			return
		}
		end += next.End
	}
}

// level puts the column before a level that stands where a column should, or takes several for a list.
func (s *search) level(st state, f parser.Fault, token string) {
	if f.Code != "unknown-column" && f.Code != "unexpected" {
		return
	}
	t := strings.ToLower(token)
	for _, c := range s.known.Columns(s.known.Current()) {
		same := func(l string) bool { return strings.ToLower(l) == t }
		if len(c.Levels) > mostNames || !slices.ContainsFunc(c.Levels, same) {
			continue
		}
		if f.Code == "unknown-column" {
			s.edit(st, f.From, f.From, phrase.Spelled(c.Name)+" is", swapped)
		}
		in := []rune(st.line)
		for _, tok := range scan.Tokens(in[:f.From]) { // is pair or offset
			if tok.Kind == scan.Word && tok.Text == "is" {
				s.edit(st, tok.Start, tok.End, "among", glued)
			}
		}
	}
}

// percent writes a percentage as one.
func (s *search) percent(st state, f parser.Fault, in []rune) {
	t := scan.Tokens(in[f.From:])[0]
	if t.Kind != scan.Number {
		return
	}
	end := f.From + t.End
	for _, word := range []string{"percent", "per cent", "pct"} {
		if rest := strings.TrimLeft(string(in[end:]), " "); strings.HasPrefix(strings.ToLower(rest), word) {
			s.edit(st, f.From, len(in)-len([]rune(rest))+len(word), t.Text+"%", quoted)
			return
		}
	}
	switch {
	case t.Number > 1 && t.Number < 100:
		s.edit(st, f.From, end, t.Text+"%", quoted)
	case t.Number > 0 && t.Number < 1:
		s.edit(st, f.From, end, phrase.SpelledAmount(phrase.Amount{Value: t.Number, Percent: true}), quoted)
	}
}

// swap exchanges a column with another of the line, in the same clause or both in none.
func (s *search) swap(st state, f parser.Fault, in []rune) {
	for _, a := range f.Columns {
		if a[0] != f.From {
			continue
		}
		for _, b := range f.Columns {
			one, two := a, b
			if two[0] < one[0] {
				one, two = two, one
			}
			if one[1] > two[0] || one[0] < f.Tailed && f.Tailed <= two[0] {
				continue // one of them is in a clause, which asks for something else
			}
			with := st
			with.line = string(in[:one[0]]) + string(in[two[0]:two[1]]) + string(in[one[1]:two[0]]) +
				string(in[one[0]:one[1]]) + string(in[two[1]:])
			with.cost += swapped
			s.push(with)
		}
	}
}

// transpose exchanges the word at fault with the next.
func (s *search) transpose(st state, f parser.Fault, in []rune) {
	toks := scan.Tokens(in[f.To:])
	if toks[0].Kind != scan.Word || phrase.Joins(toks[0].Text) || phrase.Joins(string(in[f.From:f.To])) ||
		f.From == 0 || f.Code != "unknown-column" && f.Code != "expected-word" {
		return
	}
	with := st
	end := f.To + toks[0].End
	with.line = string(in[:f.From]) + string(in[f.To+toks[0].Start:end]) + " " + string(in[f.From:f.To]) +
		string(in[end:])
	with.cost += swapped + dropped
	s.push(with)
}

// complete takes what the line stops short of from the example of the first entry in the table
// for which that makes a command; others come dearer.
func (s *search) complete(st state, faults []parser.Fault) {
	if st.erased {
		return
	}
	cost := filled
	for i := range phrase.Table {
		for _, f := range faults {
			if f.Entry != &phrase.Table[i] || !f.Stopped {
				continue
			}
			if line := f.Completed(); line != "" {
				with := st
				with.line, with.cost = line, st.cost+cost
				s.push(with)
				cost = filled + 2*margin
			}
		}
	}
}
