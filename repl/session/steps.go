package session

import (
	"maps"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/functions"
	"breakbook/frames/notation"
	"breakbook/repl/page"
)

// The steps from one session to the next. Each leaves the session it is called on as it was.

// With is the session under changed settings.
func (s *Session) With(change func(*Settings)) *Session {
	n := s.clone()
	change(&n.settings)
	return n
}

// SwitchedTo is the session with another open series as the current one.
func (s *Session) SwitchedTo(series string) *Session {
	n := s.clone()
	n.current = series
	return n
}

// Without is the session with a series closed, and the names of the results made on it,
// which go with it.
func (s *Session) Without(series string) (next *Session, gone []string) {
	n := s.clone()
	n.closed = append(slices.Clip(n.closed), s.sourcesOf(series)...)
	n.opened = slices.DeleteFunc(n.opened, func(o opened) bool { return o.name == series })
	n.results = n.results.keeping(func(r Result) bool {
		if r.Series == series {
			gone = append(gone, r.Name)
		}
		return r.Series != series
	})
	if n.current == series {
		n.current = ""
		if last := len(n.opened) - 1; last >= 0 {
			n.current = n.opened[last].name
		}
	}
	return n, gone
}

// Forgetting is the session without a result; what made it is remembered, for what was
// made of it.
func (s *Session) Forgetting(name string) *Session {
	n := s.clone()
	gone, _ := n.Result(name)
	n.results = n.results.keeping(func(r Result) bool { return r.Name != name })
	n.forgotten = slices.DeleteFunc(n.forgotten, func(r Result) bool { return r.Name == name })
	n.forgotten = append(n.forgotten, Result{Name: name, Kind: gone.Kind, Series: gone.Series, Command: gone.Command})
	return n
}

// forgottenResult is a result that was forgotten.
func (s *Session) forgottenResult(name string) (Result, bool) {
	i := slices.IndexFunc(s.forgotten, func(r Result) bool { return strings.EqualFold(r.Name, name) })
	if i < 0 {
		return Result{}, false
	}
	return s.forgotten[i], true
}

// WithQuestion is the session with one more question counted to a response.
func (s *Session) WithQuestion(series string, r *Response) *Session {
	n := s.clone()
	n.looks[QuestionKey(series, r)]++
	return n
}

// What is said once a series.
const (
	Corrected     = "corrected" // that so many of the values used were corrected
	MixedModes    = "modes"     // that loads of several ways of breaking are together
	BlocksAllowed = "blocks"    // that boards were allowed for and changed nothing
)

// WithNotice is the session that remembers that something was said of a series.
func (s *Session) WithNotice(series, what string) *Session {
	n := s.clone()
	n.notices[series+": "+what] = true
	return n
}

// Knows reports whether something was said of a series.
func (s *Session) Knows(series, what string) bool { return s.notices[series+": "+what] }

// Cautioned is the session that remembers the cautions of an entry, which are numbered through the
// book: one about the same series in the same words, whatever its numbers and the line it offers,
// has the number it had.
func (s *Session) Cautioned(e *page.Entry) *Session {
	n := s
	e.Numbered = make([]page.CautionNumber, len(e.Cautions))
	for i, c := range e.Cautions {
		key := cautionKey(e.Series, c)
		at := slices.Index(n.cautions, key)
		e.Numbered[i] = page.CautionNumber{N: at + 1, Again: at >= 0 && at < len(s.cautions)}
		if at < 0 {
			if n == s {
				n = s.clone()
			}
			n.cautions = append(slices.Clip(n.cautions), key)
			e.Numbered[i].N = len(n.cautions)
		}
	}
	return n
}

// cautionKey is what makes two cautions the same.
func cautionKey(series string, c page.Sentence) string {
	var b strings.Builder
	b.WriteString(series + ": ")
	for _, part := range c {
		if w, ok := part.(page.Word); ok {
			b.WriteString(string(w))
		}
	}
	words, _, _ := strings.Cut(b.String(), " type: ")
	return words
}

// Keeping is the session with a result, under the name it has or the next one of its kind.
func (s *Session) Keeping(r Result, kind string) (*Session, Result) {
	n := s.clone()
	if r.Name == "" {
		r.Name = s.nameFor(kind)
		n.named[kind]++
	}
	n.results = n.results.with(r)
	return n, r
}

// Doubted is the session with the doubts noted that the answers of its latest result carry.
func (s *Session) Doubted(d []page.Doubt) *Session {
	r, before, ok := s.results.latest()
	if !ok {
		return s
	}
	n := s.clone()
	r.Doubts = d
	n.results = before.with(r)
	return n
}

// Numbered is how many results of a kind were named so far.
func (s *Session) Numbered(kind string) int { return s.named[kind] }

// Booked is the session after an entry: the next number, and the entry in the book, to be
// undone, where it belongs there.
func (s *Session) Booked(e page.Entry, before *Session, belongs bool) *Session {
	n := s.clone()
	n.next = e.Number + 1
	if belongs {
		n.entries = n.entries.with(e)
		n.before = before
	}
	return n
}

// Afresh is a session as it was begun, with the number of its first entry.
func (s *Session) Afresh(first int) *Session {
	n := New(s.options)
	n.next = first
	return n
}

// At is the session with the number of the entry to come.
func (s *Session) At(next int) *Session {
	n := s.clone()
	n.next = next
	return n
}

// AskedAsOften is the session with each response counted as asked about as often as it was in another.
func (s *Session) AskedAsOften(as *Session) *Session {
	n := s.clone()
	for key, times := range as.looks {
		n.looks[key] = max(n.looks[key], times)
	}
	return n
}

// Undone is the session before its latest entry, with that entry; ok is false where there is
// none. What was asked stays counted.
func (s *Session) Undone() (before *Session, last page.Entry, ok bool) {
	if s.before == nil {
		return nil, last, false
	}
	last, _, _ = s.entries.latest()
	n := s.before.clone()
	n.looks = maps.Clone(s.looks)
	return n, last, true
}

// Count is how many entries the book has.
func (s *Session) Count() int { return s.entries.len() }

// Renaming is the session with a column of a series renamed in the results made on it, kept
// and forgotten, and in what was asked.
func (s *Session) Renaming(series string, was frames.Column, name string,
	renamed func(Result) (Result, error)) (*Session, error) {
	n := s.clone()
	n.renamed = append(slices.Clip(n.renamed), renamedColumn{series, was.Name, name})
	results := n.results.all()
	for i, one := range results {
		if one.Series != series {
			continue
		}
		var err error
		if results[i], err = renamed(one); err != nil {
			return nil, err
		}
	}
	n.results = chainOf(results)
	for i, one := range n.forgotten {
		if one.Series != series {
			continue
		}
		var err error
		if n.forgotten[i], err = renamed(Result{Command: one.Command}); err != nil {
			return nil, err
		}
		n.forgotten[i].Name, n.forgotten[i].Kind, n.forgotten[i].Series = one.Name, one.Kind, one.Series
	}
	now := was
	now.Name = name
	for _, function := range append(functions.OfColumns(), "") {
		old, is := Response{Column: was, Function: function}, Response{Column: now, Function: function}
		if count, asked := n.looks[QuestionKey(series, &old)]; asked {
			delete(n.looks, QuestionKey(series, &old))
			n.looks[QuestionKey(series, &is)] += count
		}
	}
	return n, nil
}

// renamedColumn is one column that has another name now.
type renamedColumn struct{ series, old, name string }

// NowCalled is the present name of a column of the series that had this one, or "".
func (s *Session) NowCalled(series, name string) string {
	name = notation.PlainName(name)
	for _, r := range s.renamed { // in the order given, so that a chain is followed to its end
		if r.series == series && r.old == name {
			name = r.name
		}
	}
	if _, there := s.Column(series, name); !there {
		return ""
	}
	return name
}

// QuestionKey is what the questions asked of a response are counted under.
func QuestionKey(series string, r *Response) string { return series + ": " + r.Name() }
