package phrase

import (
	"slices"
	"strings"
)

// Parse reads one command with the language of Table. The error is an *Error.
func Parse(piece Piece, k Known) (*Command, error) { return Standard().Parse(piece, k) }

// Parse reads one command; k says which columns, levels, results and series there
// are. Where several entries start with the same words, each is tried, and the
// error is that of the one that got furthest. The error is an *Error; it never
// panics on what was typed.
func (l *Language) Parse(piece Piece, k Known) (*Command, error) {
	in := []rune(piece.Text)
	toks := scan(in)
	first := toks[0]
	if first.kind == endToken {
		return nil, &Error{Code: "expected-command", Message: "a command is needed here", At: 1}
	}
	var best *parser
	for i := range l.commands {
		c := &l.commands[i]
		if first.kind != wordToken || !slices.Contains(c.nodes[0].words, first.text) {
			continue
		}
		p := newParser(l, c, in, toks, k)
		if p.command(); p.error() == nil {
			p.out.Input, p.out.At = piece.Text, piece.At
			return p.out, nil
		}
		best = further(best, p)
	}
	if best == nil {
		return nil, l.unknownCommand(in, first)
	}
	return nil, best.error()
}

func (l *Language) unknownCommand(in []rune, t token) *Error {
	typed := string(in[t.start:t.end])
	e := &Error{Code: "unknown-command", Message: "there is no command " + inQuotes(typed), At: t.start + 1}
	if c := closest(typed, l.firstWords()); c != "" {
		e.Hint = "did you mean " + c + "?"
	} else {
		e.Hint = l.mend(NoCommand, "", "")
	}
	return e
}

// firstWords are the words a command can start with, each once, in table order.
func (l *Language) firstWords() []string {
	var out []string
	for _, c := range l.commands {
		for _, w := range c.nodes[0].words {
			if !slices.Contains(out, w) {
				out = append(out, w)
			}
		}
	}
	return out
}

func inQuotes(s string) string { return `"` + s + `"` }

// want is something that could stand at a token.
type want struct {
	what   string          // as the message calls it
	code   string          // after "expected-"
	needed bool            // false: it could also be left out
	words  func() []string // what could be typed; nil: anything
	files  bool
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
	depth int         // of brackets and `not` in a condition
	asked KnownColumn // the column of the condition before
	spans []span      // the names met, for rewriting examples
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
	p.out = &Command{Entry: c.entry, Slots: map[string]Node{}, Options: map[string]bool{}}
	p.series = p.seriesMeant()
	return p
}

// command reads the whole command.
func (p *parser) command() {
	if p.run(p.cmd.nodes, nil, p.setSlot) {
		p.follow = nil
		p.tails()
	}
}

func (p *parser) setSlot(s slot, n Node) { p.out.Slots[s.name] = n }

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
func (p *parser) end() bool  { return p.tok().kind == endToken }

// typed is the input from one token to before another, as it stands.
func (p *parser) typed(from, to int) string {
	if from >= to {
		return ""
	}
	return string(p.in[p.toks[from].start:p.toks[to-1].end])
}

// wrong records something read and found wrong; the reading goes on.
func (p *parser) wrong(code string, at int, message, hint string) {
	p.soft = append(p.soft, &Error{Code: code, Message: message, At: at, Hint: hint})
}

// fail stops the reading with an error at the current token.
func (p *parser) fail(code, message, hint string) bool {
	p.stop, p.rank = &Error{Code: code, Message: message, At: p.place(), Hint: hint}, telling
	return false
}

// note records what could stand at the current token.
func (p *parser) note(w want) {
	if p.i > p.at {
		p.at, p.wants = p.i, nil
	}
	if p.i == p.at {
		p.wants = append(p.wants, w)
	}
}

// need stops the reading because something must stand at the current token.
func (p *parser) need(w want) bool {
	w.needed = true
	p.note(w)
	if p.tok().kind == openQuoteToken {
		p.stop, p.rank = unclosed(p.place()), telling
		return false
	}
	p.stop, p.rank = p.needs(), needed
	return false
}

// needs words the error of a token where something else is needed.
func (p *parser) needs() *Error {
	var what, words []string
	code := ""
	for _, w := range p.wants {
		if !w.needed || slices.Contains(what, w.what) {
			continue
		}
		what = append(what, w.what)
		if code == "" {
			code = "expected-" + w.code
		}
		if w.words != nil {
			words = append(words, w.words()...)
		}
	}
	e := &Error{Code: code, At: p.place(), Message: orList(what) + " is needed here"}
	if p.end() {
		e.Message = "the line stops where " + orList(what) + " is needed"
		return e
	}
	t := p.typed(p.i, p.i+1)
	e.Message += ", not " + shown(t)
	if c := closest(t, words); c != "" {
		e.Hint = "did you mean " + c + "?"
	}
	return e
}

// shown puts a piece of the input into a message.
func shown(t string) string {
	if strings.HasPrefix(t, `"`) {
		return t
	}
	return inQuotes(t)
}

// isWord reports whether the token k from here is the bare word.
func (p *parser) isWord(k int, words ...string) bool {
	if p.i+k >= len(p.toks) {
		return false
	}
	t := p.toks[p.i+k]
	return t.kind == wordToken && slices.Contains(words, t.text)
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

func literal(words []string) want {
	return want{what: orList(mapped(words, inQuotes)), code: "word", words: func() []string { return words }}
}

// run reads the nodes one after the other. follow is what may come after them.
func (p *parser) run(nodes []node, follow []string, set func(slot, Node)) bool {
	for k, n := range nodes {
		after := starts(nodes[k+1:], follow)
		switch n.kind {
		case wordNode:
			if !p.word(n.words...) {
				return p.need(literal(n.words))
			}
		case commaNode:
			if p.tok().kind != commaToken {
				return p.need(want{what: "a comma", code: "word"})
			}
			p.i++
		case slotNode:
			p.follow = after
			value, ok := slotTypes()[n.slot.kind].read(p, n.slot)
			if !ok {
				return false
			}
			set(n.slot, value)
		case optionalNode:
			p.follow = after
			if !p.enters(n.inner) {
				p.leaveOut(n.inner)
			} else if !p.run(n.inner, after, set) {
				return false
			}
		}
	}
	return true
}

// starts are the bare words that the nodes can start with; where all may be left
// out, what follows them counts too.
func starts(nodes []node, follow []string) []string {
	var out []string
	for _, n := range nodes {
		switch n.kind {
		case wordNode:
			return append(out, n.words...)
		case optionalNode:
			out = append(out, starts(n.inner, nil)...)
		default:
			return out
		}
	}
	return append(out, follow...)
}

// enters decides by the next token whether an optional part is there.
func (p *parser) enters(nodes []node) bool {
	switch first := nodes[0]; first.kind {
	case wordNode:
		if p.isWord(0, first.words...) {
			return true
		}
		p.note(literal(first.words))
		return false
	case commaNode:
		return p.moreAfterComma()
	case slotNode:
		if p.stops() || p.tok().kind == commaToken {
			p.note(slotTypes()[first.slot.kind].want(p, first.slot))
			return false
		}
	}
	return true
}

// moreAfterComma reports whether a comma stands here that a list goes on after,
// and not one before a clause or an option.
func (p *parser) moreAfterComma() bool {
	if p.tok().kind != commaToken {
		return false
	}
	p.i++
	more := p.end() || !p.stops()
	p.i--
	return more
}

// stops reports whether the current token ends what a slot can hold: the end, a
// word of the phrase that comes next, a clause or an option, `and` or `or`.
func (p *parser) stops() bool {
	return p.end() || p.isWord(0, p.follow...) || p.isWord(0, "and", "or") || p.startsTail()
}

// startsTail reports whether all leading words of a clause or option stand here.
func (p *parser) startsTail() bool {
	return slices.ContainsFunc(p.cmd.tails, func(t tail) bool { return p.leads(t) == t.lead })
}

// leads counts how many of the leading words of a tail stand here.
func (p *parser) leads(t tail) int {
	n := 0
	for n < t.lead && p.isWord(n, t.nodes[n].words...) {
		n++
	}
	return n
}

// tails reads the options and clauses to the end of the command.
func (p *parser) tails() bool {
	for {
		if p.tok().kind == commaToken {
			p.i++
			if p.end() {
				p.noteTails()
				return p.need(want{what: "something after the comma", code: "word"})
			}
		}
		if p.end() {
			p.noteTails()
			return true
		}
		best := -1
		for k, t := range p.cmd.tails {
			if n := p.leads(t); n > 0 && (best < 0 || n > p.leads(p.cmd.tails[best])) {
				best = k
			}
		}
		if best < 0 {
			return p.strayHere()
		}
		if !p.tail(p.cmd.tails[best]) {
			return false
		}
	}
}

func (p *parser) tail(t tail) bool {
	if p.done[t.key] {
		return p.fail("repeated", inQuotes(t.key)+" stands twice on this line", "keep one of them")
	}
	p.done[t.key] = true
	if t.option != "" {
		p.out.Options[t.option] = true
		return p.run(t.nodes, nil, p.setSlot)
	}
	return p.run(t.nodes, nil, func(_ slot, n Node) { p.out.Clauses.set(t.clause, n) })
}

// set fills in one clause.
func (c *Clauses) set(k Clause, n Node) {
	switch n := n.(type) {
	case Condition:
		c.For = n
	case Name:
		if k == From {
			c.From = &n
		} else {
			c.As = &n
		}
	case File:
		c.To = &n
	case ColumnRef:
		c.Each = &n
	case Amount:
		if k == Confidence {
			c.Confidence = &n
		} else {
			c.Worth = &n
		}
	}
}

// noteTails notes the options and clauses still to be had.
func (p *parser) noteTails() {
	for _, t := range p.cmd.tails {
		if p.done[t.key] {
			continue
		}
		lead := strings.Join(mapped(t.nodes[:t.lead], func(n node) string { return n.words[0] }), " ")
		p.note(want{what: inQuotes(lead), code: "word", words: func() []string { return []string{lead} }})
	}
}

// strayHere is the error for what belongs nowhere.
func (p *parser) strayHere() bool {
	p.noteTails()
	t := p.typed(p.i, p.i+1)
	if p.tok().kind == openQuoteToken {
		p.stop, p.rank = unclosed(p.place()), telling
		return false
	}
	var words []string
	for _, w := range p.wants {
		if w.words != nil && p.at == p.i {
			words = append(words, w.words()...)
		}
	}
	hint := "the command is complete before it"
	if len(words) > 0 {
		hint = meant(t, words, "what may come here:")
	}
	p.stop = &Error{Code: "unexpected", Message: shown(t) + " does not belong here", At: p.place(), Hint: hint}
	p.rank = stray
	return false
}

// seriesMeant is the series whose columns the command is about: the one named by
// `from`, else that of the result it takes, else the current one.
func (p *parser) seriesMeant() string {
	for _, t := range p.cmd.tails {
		if t.option != "" || t.clause != From {
			continue
		}
		if name, ok := p.namedAfter(t.nodes[0].words[0], p.known.SeriesNames()); ok {
			return name
		}
	}
	if s, before, ok := resultSlot(p.cmd.nodes, ""); ok {
		fitting := p.fitting(s.args)
		if before != "" {
			names := mapped(fitting, func(r KnownResult) string { return r.Name })
			if name, ok := p.namedAfter(before, names); ok {
				k := slices.Index(names, name)
				return fitting[k].Series
			}
		}
		if len(fitting) > 0 {
			return fitting[len(fitting)-1].Series
		}
	}
	return p.known.Current()
}

// namedAfter finds the last place where the word stands before one of the names.
func (p *parser) namedAfter(word string, names []string) (string, bool) {
	for k := len(p.toks) - 2; k >= 0; k-- {
		if p.toks[k].kind != wordToken || p.toks[k].text != word {
			continue
		}
		if n := findName(p.toks[k+1], names); n >= 0 {
			return names[n], true
		}
	}
	return "", false
}

// resultSlot finds the result a phrase is about, and the word before it.
func resultSlot(nodes []node, before string) (slot, string, bool) {
	for _, n := range nodes {
		switch {
		case n.kind == wordNode:
			before = n.words[0]
		case n.kind == slotNode && n.slot.kind == "result":
			return n.slot, before, true
		case n.kind == optionalNode:
			if s, b, ok := resultSlot(n.inner, before); ok {
				return s, b, true
			}
			before = ""
		default:
			before = ""
		}
	}
	return slot{}, "", false
}

// fitting lists the results of the kinds, the latest last.
func (p *parser) fitting(kinds []string) []KnownResult {
	var out []KnownResult
	for _, r := range p.known.Results() {
		if len(kinds) == 0 || slices.Contains(kinds, r.Kind) {
			out = append(out, r)
		}
	}
	return out
}

// leaveOut fills the result slots of a part that was left out.
func (p *parser) leaveOut(nodes []node) {
	s, _, ok := resultSlot(nodes, "")
	if !ok {
		return
	}
	fitting := p.fitting(s.args)
	if len(fitting) == 0 {
		p.wrong("no-result", p.place(), "there is no "+orKinds(s.args)+" yet to take", p.lang.exampleGiving(s.args, p.known))
		return
	}
	p.out.Slots[s.name] = Name{Text: fitting[len(fitting)-1].Name}
}

func orKinds(kinds []string) string {
	if len(kinds) == 0 {
		return "result"
	}
	return orList(kinds)
}
