package repair

import (
	"slices"
	"strings"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// leads puts words that commands start with where the line starts.
func (s *search) leads(st state) {
	st.led = true
	in := []rune(st.line)
	toks := scan.Tokens(in)
	toks = toks[:len(toks)-1]
	first := string(in[:toks[0].End])
	firsts := s.lang.FirstWords()
	known := slices.Contains(firsts, toks[0].Text)
	if s.led(toks) {
		return
	}
	if phrase.Idle(first) && len(toks) > 1 && !known {
		with := st
		with.led = false
		s.edit(with, 0, toks[0].End, "", removed)
	}
	if len(toks) > 1 && len(st.put) == 0 && slices.Contains(firsts, toks[1].Text) {
		s.edit(st, 0, toks[0].End, "", dropped)
	}
	guided := s.pointers(st, in, toks)
	for _, c := range near(first, firsts) {
		guided = true
		if c.Halves > 0 {
			cost := slip(c)
			if known {
				cost += dropped
			}
			s.edit(st, 0, toks[0].End, c.Name, cost)
		}
	}
	for _, w := range firsts {
		if rest, cut := strings.CutPrefix(toks[0].Text, w); cut && rest != "" && len(w) > 2 {
			s.edit(st, 0, len([]rune(w))+len([]rune(rest))-len([]rune(strings.TrimLeft(rest, "-_"))), w, glued)
		}
	}
	begun := map[string]bool{}
	for _, c := range s.lang.Commands() {
		lead := pattern.Leading(c.Nodes)
		for k, w := range lead {
			if k > 0 && w == toks[0].Text {
				s.edit(st, 0, 0, strings.Join(lead[:k], " "), inserted+removed)
			}
		}
		text := strings.Join(lead, " ")
		if known || guided || begun[text] {
			continue
		}
		begun[text] = true
		if slices.ContainsFunc(pattern.AllSlots(c.Nodes), func(s pattern.Slot) bool { return s.Kind == "rest" }) {
			continue // it takes anything
		}
		s.begin(st, toks, c.Entry, text)
	}
}

// led reports whether a line starts with all the words, two or more, that a command of ours does.
func (s *search) led(toks []scan.Token) bool {
	return slices.ContainsFunc(s.lang.Commands(), func(c phrase.Compiled) bool {
		lead := pattern.Leading(c.Nodes)
		return len(lead) > 1 && len(lead) <= len(toks) &&
			slices.EqualFunc(lead, toks[:len(lead)], func(w string, t scan.Token) bool { return w == t.Text })
	})
}

// begin puts the words of a command before the line.
func (s *search) begin(st state, toks []scan.Token, e *phrase.Entry, lead string) {
	file := string([]rune(st.line)[:toks[0].End])
	for k := 1; k < len(toks) && toks[k].Glued; k++ {
		file = string([]rune(st.line)[:toks[k].End])
	}
	cost := begun
	switch ends := phrase.EndingKnown(file); {
	case ends && phrase.ReadsFirst(e) && phrase.FitsEnding(e, file):
		cost = swapped
	case ends || len(toks) < 3:
		return
	}
	st.begun = cost == begun
	s.edit(st, 0, 0, lead, cost)
}

// pointers puts our words for everyday ones: for those at the start, and for one further on
// that words stand before which say nothing.
func (s *search) pointers(st state, in []rune, toks []scan.Token) (found bool) {
	for at := range toks[:min(len(toks), 8)] {
		for n := min(3, len(toks)-at); n > 0; n-- {
			text := strings.ToLower(string(in[toks[at].Start:toks[at+n-1].End]))
			for _, p := range phrase.Pointers {
				if at > 0 && !p.Noun || !slices.Contains(p.Words, text) {
					continue
				}
				found = true
				for _, to := range p.To {
					s.pointed(st, in, toks, at, n, to, p.Alone)
				}
			}
		}
	}
	return found
}

// pointed is the line with the n words from at on replaced, at its start, by a command's.
func (s *search) pointed(st state, in []rune, toks []scan.Token, at, n int, to string, alone bool) {
	cost, kept := pointed, ""
	for _, t := range toks[:at] {
		text := string(in[t.Start:t.End])
		if phrase.Idle(text) {
			cost += removed / 2
			continue
		}
		kept += " " + text
	}
	if at > 0 {
		cost += moved
	}
	end := toks[at+n-1].End
	rest := string(in[end:])
	if alone {
		if at > 0 {
			return
		}
		rest = ""
	}
	lead := strings.Join(strings.Fields(to+kept), " ")
	with := st
	with.pointed = true
	with.cost += cost
	with.line = strings.TrimSpace(lead + " " + strings.TrimSpace(rest))
	s.push(with)
	for _, t := range toks[at+n:] { // of the
		text := string(in[t.Start:t.End])
		if alone || len(text) == 1 || !phrase.Joins(text) && !phrase.Idle(text) {
			break
		}
		with.cost += removed / 2
		with.line = strings.TrimSpace(lead + " " + strings.TrimSpace(string(in[t.End:])))
		s.push(with)
	}
}
