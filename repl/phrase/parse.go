package phrase

import (
	"errors"
	"slices"
	"strings"

	"breakbook/frames/meant"
)

// Parse reads one command with the language of Table. The error is an *Error.
func Parse(piece Piece, k Known) (*Command, error) { return Standard().Parse(piece, k) }

// Parse reads one command; k says which columns, levels, results and series there
// are. Where several entries start with the same words, each is tried, and the
// error is that of the one that got furthest. The error is an *Error; it never
// panics on what was typed.
func (l *Language) Parse(piece Piece, k Known) (*Command, error) {
	c, err := l.parse(piece, k)
	var e *Error
	if errors.As(err, &e) {
		e.Hint = l.proseHint(piece, e.Hint)
	}
	return c, err
}

func (l *Language) parse(piece Piece, k Known) (*Command, error) {
	in := []rune(piece.Text)
	if len(in) > mostRead && !l.takesRest(in) {
		return nil, &Error{Code: "too-long", Message: "a command of more than 100,000 characters is not read", At: mostRead + 1,
			Hint: "say it in several commands, one a line"}
	}
	k = remember(k)
	toks := scan(in)
	first := toks[0]
	if first.kind == endToken {
		return nil, &Error{Code: "expected-command", Message: "a command is needed here", At: 1}
	}
	c, best := l.attempt(piece, in, toks, k, false)
	if c == nil { // a name of several words may have swallowed those of the phrase: load_by_pins
		c, _ = l.attempt(piece, in, toks, k, true)
	}
	if c != nil {
		return c, nil
	}
	if e := outdated(in, toks); e != nil {
		return nil, e
	}
	if best == nil {
		return nil, l.unknownCommand(in, first)
	}
	return nil, l.withExample(best)
}

// attempt reads a command as one entry after the other; where none fits, it gives the
// attempt that got furthest. single: names are one word each, joined by _ where they have more.
func (l *Language) attempt(piece Piece, in []rune, toks []token, k Known, single bool) (*Command, *parser) {
	var best *parser
	for _, i := range l.order {
		c := &l.commands[i]
		if toks[0].kind != wordToken || !slices.Contains(c.nodes[0].words, toks[0].text) {
			continue
		}
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

// mostRead is how many characters a command may have that is more than words for the report.
const mostRead = 100_000

// takesRest reports whether a command's words are followed by text that is kept as it is, as
// those of a note are.
func (l *Language) takesRest(in []rune) bool {
	first := scan(in[:min(len(in), mostShown)])[0]
	for _, c := range l.commands {
		last := c.nodes[len(c.nodes)-1]
		if slices.Contains(c.nodes[0].words, first.text) && last.kind == slotNode && last.slot.kind == "rest" {
			return true
		}
	}
	return false
}

// withExample is the error of an attempt; where the line stops short and nothing else is
// there to suggest, it shows the command's example.
func (l *Language) withExample(p *parser) error {
	err := p.error()
	var e *Error
	if errors.As(err, &e) && e.Hint == "" && e.At > len(p.in) && strings.HasPrefix(e.Code, "expected-") {
		e.Hint = "for example " + l.example(p.cmd.entry, p.known)
	}
	return err
}

func (l *Language) unknownCommand(in []rune, t token) *Error {
	typed := string(in[t.start:t.end])
	e := &Error{Code: "unknown-command", Message: "there is no command " + shown(typed), At: t.start + 1}
	if c := meant.By(typed, l.FirstWords()); c != "" {
		e.Hint = "did you mean " + c + "?"
	} else {
		e.Hint = l.mend(NoCommand, "", "")
	}
	return e
}

// failure ranks, for errors at the same place: the more telling one wins.
const (
	stray   = iota // something follows that belongs nowhere
	needed         // something else must stand here
	telling        // it was read and found wrong
)

// parser reads one command as one entry of the table.
type parser struct {
	lang   *Language
	cmd    *command
	in     []rune
	toks   []token
	i      int
	known  Known
	series string   // whose columns are looked up
	follow []string // words of the phrase that may come after the slot being read
	done   map[string]bool
	out    *Command

	soft  []*Error // wrong, but read past
	stop  *Error   // where it could not go on
	rank  int
	wants []want      // what could have stood at the furthest token asked about
	at    int         // that token
	depth int         // of brackets, signs and `not` in a condition or an expression
	asked KnownColumn // the column of the condition before

	tailed     int    // the token at which options and clauses start
	single     bool   // names are one word each
	moved      bool   // it reads a line with its options moved to the end
	expression bool   // the tokens are those of an expression
	spans      []span // the names met, for rewriting examples
}

// span is a stretch of the input that names something of the session.
type span struct {
	start, end int // tokens
	kind       spanKind
	column     KnownColumn
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

func newParser(l *Language, c *command, in []rune, toks []token, k Known) *parser {
	p := &parser{lang: l, cmd: c, in: in, toks: toks, known: k, done: map[string]bool{}}
	p.out = &Command{Entry: c.entry, Do: c.binding.fresh()}
	p.series = p.seriesMeant()
	return p
}

// command reads the whole command.
func (p *parser) command() {
	if p.run(p.cmd.nodes, nil, p.fill) {
		p.follow, p.tailed = nil, p.i
		p.tails()
	}
}

// fill puts what was read into the command's struct.
func (p *parser) fill(s slot, n Node) {
	if n != nil {
		p.cmd.binding.set(p.out.Do, s.name, n)
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

func (p *parser) tok() token { return p.toks[p.i] }

func (p *parser) place() int { return p.tok().start + 1 }

func (p *parser) end() bool { return p.tok().kind == endToken }

// typed is the input from one token to before another, as it stands.
func (p *parser) typed(from, to int) string {
	if from >= to {
		return ""
	}
	return string(p.in[p.toks[from].start:p.toks[to-1].end])
}

// isWord reports whether the token k from here is the bare word, or the mark.
func (p *parser) isWord(k int, words ...string) bool {
	if p.i+k >= len(p.toks) {
		return false
	}
	t := p.toks[p.i+k]
	return (t.kind == wordToken || t.kind == markToken) && slices.Contains(words, t.text)
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
	return p.tok().kind == markToken && p.tok().text == text
}

// mark takes a bracket or an operator.
func (p *parser) mark(text string) bool {
	if p.isMark(text) {
		p.i++
		return true
	}
	return false
}
