package repl

import (
	"strconv"
	"strings"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/parser"
	"breakbook/repl/session"
)

// bookNames is what a book that is replayed, or taken up, calls its results by itself (fit1 for its first fit),
// and what they are called in the session, which may have a fit1 of its own.
type bookNames struct {
	counted map[string]int    // of each kind, how many the book had to name
	here    map[string]string // the book's name of a result: its name in the session
	moved   bool              // some differ
}

func newBookNames() *bookNames {
	return &bookNames{counted: map[string]int{}, here: map[string]string{}}
}

// note takes in the results that a command of the book made.
func (b *bookNames) note(before, after *session.Session) {
	for _, known := range after.Results() {
		if _, old := before.Result(known.Name); old {
			continue
		}
		name := known.Name
		if r, _ := after.Result(name); r.Command == nil || r.Command.Clauses().As == nil {
			name = b.next(strings.TrimRight(name, "0123456789"))
		}
		b.here[name] = known.Name
		b.moved = b.moved || name != known.Name
	}
}

// next is the name that the book by itself would give.
func (b *bookNames) next(kind string) string {
	for {
		b.counted[kind]++
		name := kind + strconv.Itoa(b.counted[kind])
		if _, taken := b.here[name]; !taken {
			return name
		}
	}
}

// line is a command of the book with its results called as they are in the session.
func (b *bookNames) line(p phrase.Piece, s *session.Session) phrase.Piece {
	if b == nil || !b.moved {
		return p
	}
	c, err := parser.Parse(p, inBook{s, b})
	if err != nil {
		return p
	}
	p.Text = c.Calling(func(name string) string {
		if here, own := b.here[name]; own {
			return here
		}
		return name
	})
	return p
}

// inBook is the session as the book knows it: its own results under its names for them, and of the others those whose
// names it does not use.
type inBook struct {
	*session.Session
	names *bookNames
}

func (k inBook) Results() []phrase.KnownResult {
	called := map[string]string{}
	for name, here := range k.names.here {
		called[here] = name
	}
	var out []phrase.KnownResult
	for _, r := range k.Session.Results() {
		_, used := k.names.here[r.Name]
		if name, own := called[r.Name]; own {
			r.Name = name
		} else if used {
			continue
		}
		out = append(out, r)
	}
	return out
}
