package kernel

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
)

// The steps from one session to the next. Each leaves the session it is called on as it was.

// with is the session under changed settings.
func (s *Session) with(change func(*Settings)) *Session {
	n := s.clone()
	change(&n.settings)
	return n
}

// switchedTo is the session with another open series as the current one.
func (s *Session) switchedTo(series string) *Session {
	n := s.clone()
	n.current = series
	return n
}

// without is the session with a series closed, and the names of the results made on it,
// which go with it.
func (s *Session) without(series string) (next *Session, gone []string) {
	n := s.clone()
	n.closed = append(slices.Clip(n.closed), s.sourcesOf(series)...)
	n.opened = slices.DeleteFunc(n.opened, func(o opened) bool { return o.name == series })
	n.results = n.results.keeping(func(r result) bool {
		if r.series == series {
			gone = append(gone, r.name)
		}
		return r.series != series
	})
	if n.current == series {
		n.current = ""
		if last := len(n.opened) - 1; last >= 0 {
			n.current = n.opened[last].name
		}
	}
	return n, gone
}

// forgetting is the session without a result; what made it is remembered, for what was
// made of it.
func (s *Session) forgetting(name string) *Session {
	n := s.clone()
	gone, _ := n.result(name)
	n.results = n.results.keeping(func(r result) bool { return r.name != name })
	n.forgotten = slices.DeleteFunc(n.forgotten, func(r result) bool { return r.name == name })
	n.forgotten = append(n.forgotten, result{name: name, kind: gone.kind, series: gone.series, command: gone.command})
	return n
}

// forgottenResult is a result that was forgotten.
func (s *Session) forgottenResult(name string) (result, bool) {
	i := slices.IndexFunc(s.forgotten, func(r result) bool { return strings.EqualFold(r.name, name) })
	if i < 0 {
		return result{}, false
	}
	return s.forgotten[i], true
}

// asked is the session with one more question counted to a response.
func (s *Session) asked(series string, r *response) *Session {
	n := s.clone()
	n.looks[lookKey(series, r)]++
	return n
}

// toldOfModes is the session that remembers that a series was told of loads of several modes.
func (s *Session) toldOfModes(series string) *Session {
	n := s.clone()
	n.mixed[series] = true
	return n
}

// knowsModes reports whether a series was told of loads of several modes.
func (s *Session) knowsModes(series string) bool { return s.mixed[series] }

// keeping is the session with a result, under the name it has or the next one of its kind.
func (s *Session) keeping(r result, kind string) (*Session, result) {
	n := s.clone()
	if r.name == "" {
		r.name = s.nameFor(kind)
		n.named[kind]++
	}
	n.results = n.results.with(r)
	return n, r
}

// numbered is how many results of a kind were named so far.
func (s *Session) numbered(kind string) int { return s.named[kind] }

// booked is the session after an entry: the next number, and the entry in the book, to be
// undone, where it belongs there.
func (s *Session) booked(e page.Entry, before *Session, belongs bool) *Session {
	n := s.clone()
	n.next = e.Number + 1
	if belongs {
		n.entries = n.entries.with(e)
		n.before = before
	}
	return n
}

// undone is the session before its latest entry, with that entry; ok is false where there is
// none. What was asked stays counted.
func (s *Session) undone() (before *Session, last page.Entry, ok bool) {
	if s.before == nil {
		return nil, last, false
	}
	last, _, _ = s.entries.latest()
	n := s.before.clone()
	n.looks = cloneCounts(s.looks)
	return n, last, true
}

// Count is how many entries the book has.
func (s *Session) Count() int { return s.entries.len() }

// renaming is the session with a column of a series renamed in the results made on it, kept
// and forgotten, and in what was asked.
func (s *Session) renaming(series string, was frames.Column, name string, renamed func(result) (result, error)) (*Session, error) {
	n := s.clone()
	n.renamed = append(slices.Clip(n.renamed), renamedColumn{series, was.Name, name})
	results := n.results.all()
	for i, one := range results {
		if one.series != series {
			continue
		}
		var err error
		if results[i], err = renamed(one); err != nil {
			return nil, err
		}
	}
	n.results = chainOf(results)
	for i, one := range n.forgotten {
		if one.series != series {
			continue
		}
		var err error
		if n.forgotten[i], err = renamed(result{command: one.command}); err != nil {
			return nil, err
		}
		n.forgotten[i].name, n.forgotten[i].kind, n.forgotten[i].series = one.name, one.kind, one.series
	}
	now := was
	now.Name = name
	for function := range functions {
		old, is := response{column: was, function: function}, response{column: now, function: function}
		if count, asked := n.looks[lookKey(series, &old)]; asked {
			delete(n.looks, lookKey(series, &old))
			n.looks[lookKey(series, &is)] += count
		}
	}
	return n, nil
}

// renamedColumn is one column that has another name now.
type renamedColumn struct{ series, old, name string }

// NowCalled is the present name of a column of the series that had this one, or "".
func (s *Session) NowCalled(series, name string) string {
	name = frames.PlainName(name)
	for _, r := range s.renamed { // in the order given, so that a chain is followed to its end
		if r.series == series && r.old == name {
			name = r.name
		}
	}
	if _, there := s.column(series, name); !there {
		return ""
	}
	return name
}

// lookKey is what the questions asked of a response are counted under.
func lookKey(series string, r *response) string { return series + ": " + r.name() }
