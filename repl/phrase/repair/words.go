package repair

import (
	"slices"
	"strings"
	"unicode"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/phrase/scan"
)

// comma is the cost of a comma: the first left out is a slip, the others are the same one.
func (s *search) comma(st state) int {
	if st.commas {
		return removed / 2
	}
	return pointed
}

// stopped puts in, or in the place of what is there, the words that could stand there.
func (s *search) stopped(st state, f parser.Fault, in []rune, token, before string) {
	for k, w := range unique(append(slices.Clone(f.Words), f.Options...)) {
		extra := 0
		if k >= len(unique(f.Words)) {
			extra = optional
		}
		if w == "as" && extra > 0 {
			extra += 2 * optional
		}
		s.word(st, f, in, token, w, extra)
	}
	for _, w := range unique(slices.Concat(f.Words, f.Options, f.Bare)) {
		first, _, several := strings.Cut(w, " ")
		for _, c := range near(token, []string{w, first}[:1+min(1, strings.Count(w, " "))]) {
			if c.Halves > 0 || several {
				s.edit(st, f.From, f.To, w, slip(c))
				break
			}
		}
	}
	if slices.Contains(f.Words, "=") {
		s.equals(st, f, in)
	}
	if f.Text && f.From < len(in) {
		s.quote(st, f.From, len(in))
	}
	if f.Code == "unexpected" {
		s.stray(st, f, in, token)
	}
	if f.Code == "expected-word" && f.From < len(in) && f.Before > 0 && !phrase.Joins(token) &&
		!slices.Contains(s.lang.Words(), before) {
		with := st
		with.commas = true
		s.edit(with, f.From, f.From, ",", s.comma(st))
	}
}

// word puts a word of the phrase before a token, in its place, or in its beginning.
func (s *search) word(st state, f parser.Fault, in []rune, token, w string, extra int) {
	lower := strings.ToLower(token)
	first, _, _ := strings.Cut(w, " ")
	if first == lower {
		return
	}
	with := st
	with.put = append(slices.Clone(st.put), strings.Fields(w)...)
	cost := inserted + extra
	if !phrase.Joins(first) {
		cost += wordy
	}
	there := func(t scan.Token) bool { return t.Text == first }
	if phrase.Joins(token) || phrase.Joins(first) && slices.ContainsFunc(scan.Tokens(in), there) {
		cost += dropped
	}
	if first != w {
		extra += optional
	}
	s.edit(with, f.From, f.From, w, cost)
	switch {
	case f.From == len(in):
		return
	case slices.Contains(phrase.Instead[lower], w):
		s.edit(st, f.From, f.To, w, pointed)
		s.two(st, f, in, w)
	case phrase.Joins(token) && scan.Tokens(in[f.To:])[0].Text != first:
		if slices.ContainsFunc(f.Words, func(w string) bool { return slices.Contains(phrase.Instead[lower], w) }) {
			extra += optional
		}
		s.edit(st, f.From, f.To, w, replaced+extra)
		s.two(st, f, in, w)
	}
	if rest, cut := strings.CutPrefix(lower, w); cut && len(rest) > 1 {
		s.edit(st, f.From, f.From+len([]rune(w)), w, glued)
	}
}

// equals puts the = of a calculation after the first words that may be its name.
func (s *search) equals(st state, f parser.Fault, in []rune) {
	toks := scan.Tokens(in[:f.From])
	for k := 2; k < len(toks)-1; k++ {
		if t := toks[k]; phrase.Joins(t.Text) {
			s.edit(st, t.Start, t.End, "=", replaced)
		} else if k > 2 && !phrase.Joins(toks[k-1].Text) {
			s.edit(st, t.Start, t.Start, "=", inserted)
		}
	}
}

// unique are the words, each once.
func unique(words []string) []string {
	var out []string
	for _, w := range words {
		out = lists.With(out, w)
	}
	return out
}

// two puts a word in the place of two joining words.
func (s *search) two(st state, f parser.Fault, in []rune, w string) {
	next := scan.Tokens(in[f.To:])[0]
	text := string(in[f.To+next.Start : f.To+next.End])
	if phrase.Joins(text) || phrase.Idle(text) {
		s.edit(st, f.From, f.To+next.End, w, replaced+removed)
	}
}

// quote puts a stretch in quotation marks, without the ' it stands in; numbers alone are not what a text says.
func (s *search) quote(st state, from, to int) {
	text := strings.TrimSpace(string([]rune(st.line)[from:to]))
	if !strings.ContainsFunc(text, unicode.IsLetter) || strings.ContainsFunc(text, scan.IsQuote) {
		return
	}
	s.edit(st, from, to, scan.Quoted(within(text, apostrophe)), quoted)
}

// stray mends what belongs nowhere: a comma left out, options before the rest, a file with
// blanks, a dash for `to`.
func (s *search) stray(st state, f parser.Fault, in []rune, token string) {
	before := strings.TrimSpace(string(in[f.Before:f.From]))
	if f.Before == 0 || before == "," || token == "," {
		return
	}
	listed := st
	listed.commas = true
	if phrase.Joins(token) {
		s.edit(listed, f.From, f.To, ",", s.comma(st)-10)
		if next := scan.Tokens(in[f.To:])[0]; next.Kind == scan.Comma {
			s.edit(listed, f.From, f.To+next.End, ",", s.comma(st))
		}
	} else {
		s.edit(listed, f.From, f.From, ",", s.comma(st))
	}
	if f.Tailed > 0 && f.Tailed < f.From {
		with := st
		with.line = strings.TrimSpace(string(in[:f.Tailed])) + " " + strings.TrimSpace(string(in[f.From:])) + " " +
			strings.Trim(string(in[f.Tailed:f.From]), ", ")
		with.cost += moved
		s.push(with)
	}
	if f.File >= 0 && phrase.EndingKnown(token) {
		s.file(st, f, in)
	}
	if rest, cut := strings.CutPrefix(token, "-"); cut && rest != "" {
		s.edit(st, f.From, f.To, "to "+rest, inserted)
	}
}

// file takes words before a file for words too many, or for the beginning of its name.
func (s *search) file(st state, f parser.Fault, in []rune) {
	for _, t := range scan.Tokens(in[f.File:f.From]) {
		text := string(in[f.File+t.Start : f.File+t.End])
		if phrase.EndingKnown(text) {
			return // two files
		}
		if t.Kind != scan.End && !phrase.Joins(text) &&
			(st.pointed || !slices.Contains(append(s.lang.Words(), "the", "file"), t.Text)) {
			s.quote(st, f.File, f.To)
			return
		}
	}
	s.edit(st, f.File, f.From, "", dropped)
}

// within is a text without the marks that all of it stands in.
func within(text string, mark func(rune) bool) string {
	in := []rune(text)
	last := len(in) - 1
	if last > 1 && mark(in[0]) && mark(in[last]) && !slices.ContainsFunc(in[1:last], mark) {
		return string(in[1:last])
	}
	return text
}

// apostrophe reports whether a character is one that texts are put in elsewhere.
func apostrophe(r rune) bool { return r == '\'' || r == '‘' || r == '’' || r == '`' }
