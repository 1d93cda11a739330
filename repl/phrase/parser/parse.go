// Package parser understands the bench language: a line and what the session has come in;
// out comes a command with its struct filled, or an error with its place and a hint. By the
// same reading it completes a line and puts the examples of the table into the user's words.
package parser

import (
	"errors"
	"iter"
	"slices"
	"strings"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// Parse reads one command with the language of Table. The error is an *Error.
func Parse(piece phrase.Piece, k phrase.Known) (*phrase.Command, error) {
	return ParseIn(phrase.Standard(), piece, k)
}

// ParseLine reads a text that is one command.
func ParseLine(text string, k phrase.Known) (*phrase.Command, error) {
	return Parse(phrase.Piece{Text: text, At: 1}, k)
}

// ParseIn reads one command with another language; k says which columns, levels, results and series there
// are. Where several entries start with the same words, each is tried, and the
// error is that of the one that got furthest. The error is an *Error; it never
// panics on what was typed.
func ParseIn(l *phrase.Language, piece phrase.Piece, k phrase.Known) (*phrase.Command, error) {
	c, err := parse(l, piece, k)
	var e *phrase.Error
	if errors.As(err, &e) {
		e.Hint = proseHint(l, piece, e.Hint)
	}
	return c, err
}

func parse(l *phrase.Language, piece phrase.Piece, k phrase.Known) (*phrase.Command, error) {
	in := []rune(piece.Text)
	if len(in) > mostRead && !takesRest(l, scan.Tokens(in[:mostShown])[0].Text) {
		return nil, &phrase.Error{Code: "too-long", Message: "a command of more than 100,000 characters is not read",
			At: mostRead + 1, Hint: "say it in several commands, one a line"}
	}
	k = Remember(k)
	toks := scan.Tokens(in)
	first := toks[0]
	if first.Kind == scan.End {
		return nil, &phrase.Error{Code: "expected-command", Message: "a command is needed here", At: 1}
	}
	c, best := attempt(l, piece, in, toks, k, false)
	if c == nil { // a name of several words may have swallowed those of the phrase: load_by_pins
		c, _ = attempt(l, piece, in, toks, k, true)
	}
	if c != nil {
		return c, nil
	}
	if e := outdated(in, toks); e != nil {
		return nil, e
	}
	if best == nil {
		return nil, unknownCommand(l, in, first, k)
	}
	if d, found := withPoints(l, piece.Text, best.first(), k); found {
		return nil, d.Problem()
	}
	return nil, withExample(l, best)
}

// attempt reads a command as one entry after the other; where none fits, it gives the
// attempt that got furthest. single: names are one word each, joined by _ where they have more.
func attempt(l *phrase.Language, piece phrase.Piece, in []rune, toks []scan.Token, k phrase.Known,
	single bool) (*phrase.Command, *parser) {
	var best *parser
	for c := range begunBy(l, toks[0]) {
		p := newParser(l, c, in, toks, k)
		p.single = single
		if p.command(); p.error() == nil {
			p.out.Input, p.out.At = piece.Text, piece.At
			return p.out, nil
		}
		best = further(best, p)
	}
	return nil, best
}

// begunBy are the commands that begin with a word, in the order in which they are tried.
func begunBy(l *phrase.Language, first scan.Token) iter.Seq[*phrase.Compiled] {
	return func(yield func(*phrase.Compiled) bool) {
		for _, i := range l.Order() {
			c := &l.Commands()[i]
			if first.Kind == scan.Word && slices.Contains(c.Nodes[0].Words, first.Text) && !yield(c) {
				return
			}
		}
	}
}

// mostRead is how many characters a command may have that is more than words for the report.
const mostRead = 100_000

// takesRest reports whether a command's first word is followed by text that is kept as it is, as
// that of a note is.
func takesRest(l *phrase.Language, first string) bool {
	return slices.ContainsFunc(l.Commands(), func(c phrase.Compiled) bool {
		last := c.Nodes[len(c.Nodes)-1]
		return slices.Contains(c.Nodes[0].Words, first) && last.Kind == pattern.Slotted && last.Slot.Kind == "rest"
	})
}

// withExample is the error of an attempt; where the line stops short, or goes on with an option before all is there
// that has to be, and nothing else is there to suggest, it shows the command's example.
func withExample(l *phrase.Language, p *parser) error {
	err := p.error()
	var e *phrase.Error
	short := len(p.soft) == 0 && (p.end() || p.startsTail())
	if errors.As(err, &e) && e.Hint == "" && short && strings.HasPrefix(string(e.Code), "expected-") {
		e.Hint = "for example " + example(l, p.cmd.Entry, p.known)
	}
	return err
}

func unknownCommand(l *phrase.Language, in []rune, t scan.Token, k phrase.Known) *phrase.Error {
	e := &phrase.Error{Code: "unknown-command", Message: "there is no command " + shown(string(in[t.Start:t.End])),
		At: t.Start + 1, Hint: mend(l, phrase.NoCommand, "", "")}
	if lead, more := pointed(in); lead != "" {
		for _, c := range l.Commands() {
			if all := pattern.Leading(c.Nodes); strings.Join(all, " ") == lead && (len(c.Nodes) > len(all) || !more) {
				e.Hint = "type " + lead + " for it, for example " + example(l, c.Entry, k)
				break
			}
		}
	}
	return e
}

// pointed are the words of ours for the everyday ones that a line starts with, the most of them first, and whether more
// follows them.
func pointed(in []rune) (lead string, more bool) {
	toks := scan.Tokens(in)
	for n := min(3, len(toks)-1); n > 0 && lead == ""; n-- {
		lead, more = phrase.Pointed(string(in[toks[0].Start:toks[n-1].End])), len(toks)-1 > n
	}
	return lead, more
}

// failure ranks, for errors at the same place: the more telling one wins.
const (
	stray   = iota // something follows that belongs nowhere
	needed         // something else must stand here
	telling        // it was read and found wrong
)

// parser reads one command as one entry of the table.
type parser struct {
	lang   *phrase.Language
	cmd    *phrase.Compiled
	in     []rune
	toks   []scan.Token
	i      int
	known  phrase.Known
	series string   // whose columns are looked up
	follow []string // words of the phrase that may come after the slot being read
	done   map[string]bool
	out    *phrase.Command

	soft  []*phrase.Error // wrong, but read past
	stop  *phrase.Error   // where it could not go on
	rank  int
	wants []want // what could have stood at the furthest token asked about
	at    int    // that token
	depth int    // of brackets, signs and `not` in a condition or an expression

	tailed     int      // the token at which options and clauses start
	single     bool     // names are one word each
	probing    bool     // nobody reads the hints
	whole      int      // the token up to which the phrase was whole, what was left of it optional
	near       []string // what the first fault that was read past could be a slip for
	nearTo     int      // where it ends, in characters
	nearBefore []string // the words of the phrase that come next
	expression bool     // the tokens are those of an expression
	spans      []span   // the names met, for rewriting examples
}

// span is a stretch of the input that names something of the session.
type span struct {
	start, end int // tokens
	kind       spanKind
	column     phrase.KnownColumn
	name       string // the level, result or series
}

type spanKind uint8

const (
	columnSpan spanKind = iota
	levelSpan
	resultSpan
	seriesSpan
	amountSpan
)

func newParser(l *phrase.Language, c *phrase.Compiled, in []rune, toks []scan.Token, k phrase.Known) *parser {
	p := &parser{lang: l, cmd: c, in: in, toks: toks, known: k, done: map[string]bool{}}
	p.out = &phrase.Command{Entry: c.Entry, Do: c.Fresh()}
	p.series = p.seriesMeant()
	return p
}

// command reads the whole command.
func (p *parser) command() {
	if p.run(p.cmd.Nodes, nil, p.fill) {
		p.follow, p.tailed = nil, p.i
		p.tails()
	}
}

// fill puts what was read into the command's struct.
func (p *parser) fill(s pattern.Slot, n any) {
	if n != nil {
		p.cmd.Set(p.out.Do, s.Name, n)
	}
}

// error is the first thing found wrong, or nil.
func (p *parser) error() error {
	if len(p.soft) > 0 {
		return p.soft[0]
	}
	if p.stop == nil {
		return nil
	}
	return p.stop
}

// further picks the attempt that got further; of two that stopped at the same
// token, the one with less to mend, then whose first error is later, then says more, then the
// earlier. Where both lack something there, it names what either could have.
func further(a, b *parser) *parser {
	switch {
	case a == nil:
		return b
	case a.reach() != b.reach():
		if b.reach() > a.reach() {
			return b
		}
	case a.faults() != b.faults():
		if b.faults() < a.faults() {
			return b
		}
	case a.first() != b.first():
		if b.first() > a.first() {
			return b
		}
	case a.gravity() == needed && b.gravity() == needed:
		a.wants = append(a.wants, b.wants...)
		a.stop = a.needs()
	case b.gravity() > a.gravity():
		return b
	}
	return a
}

// reach is how many tokens were read.
func (p *parser) reach() int {
	if p.stop == nil {
		return len(p.toks) - 1
	}
	return p.i
}

// first is the place of the first fault.
func (p *parser) first() int {
	if len(p.soft) > 0 {
		return p.soft[0].At
	}
	return p.stop.At
}

func (p *parser) faults() int {
	if p.stop == nil {
		return len(p.soft)
	}
	return len(p.soft) + 1
}

func (p *parser) gravity() int {
	if len(p.soft) > 0 {
		return telling
	}
	return p.rank
}

func (p *parser) tok() scan.Token { return p.toks[p.i] }

func (p *parser) place() int { return p.tok().Start + 1 }

func (p *parser) end() bool { return p.tok().Kind == scan.End }

// typed is the input from one token to before another, as it stands.
func (p *parser) typed(from, to int) string {
	if from >= to {
		return ""
	}
	return string(p.in[p.toks[from].Start:p.toks[to-1].End])
}

// isWord reports whether the token k from here is the bare word, or the mark.
func (p *parser) isWord(k int, words ...string) bool {
	if p.i+k >= len(p.toks) {
		return false
	}
	t := p.toks[p.i+k]
	return (t.Kind == scan.Word || t.Kind == scan.Mark) && slices.Contains(words, t.Text)
}

// word takes one of the words, or notes that it could have stood here.
func (p *parser) word(words ...string) bool {
	if p.isWord(0, words...) {
		p.i++
		return true
	}
	p.note(literal(words))
	return false
}

func (p *parser) isMark(text string) bool {
	return p.tok().Kind == scan.Mark && p.tok().Text == text
}

// mark takes a bracket or an operator.
func (p *parser) mark(text string) bool {
	if p.isMark(text) {
		p.i++
		return true
	}
	return false
}
