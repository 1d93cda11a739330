package phrase

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"
)

// The notation of a phrase.
//
//	word             stands as it is, matched without case
//	one|other        one of several words
//	,                a comma
//	{name:type}      a slot: what is typed there is read as its type says and
//	                 kept under the name; some types take words after it
//	[ … ]            may be left out; a result slot inside, left out, is filled
//	                 with the latest result that fits (its place is then 0)
//
// The types:
//
//	response         a number column or a function of one
//	number category column            one column: of numbers, of levels, any
//	columns terms                     lists
//	level SLOT, levels SLOT           of the column in that slot, before or after
//	blocks                            day, board within day
//	condition                         pins is none and load > 300 N
//	mode                              failure is glue, failure among glue, mixed
//	given                             pins pair or none, density 620 kg/m3
//	expression                        load / (34 mm * 30 mm)
//	which                             specimen 7, 9 or for load > 300 N
//	result KIND …, results KIND …     results of these kinds (no kind: any)
//	series, manyseries                an open series, two and more; `own`: the columns named after
//	                                  it are that series' own, as they are the first one's of several
//	name, newcolumn                   a new name; that of a column may have blanks
//	words                             quoted, or all up to the next word of the phrase
//	file, files                       one word each, or quoted; `written`: the command writes it
//	quoted, texts, rest               text in quotation marks, a list of words or
//	                                  texts, all that is left of the command
//	amount percent count extent unit  10 N or 10%; 90%; 7; 5 or 5 to 12; kgf
//	amounts SLOT                      500 kg/m3, 600, beside the column in that slot
//	choice WORD …                     one of these words
//
// Options and clauses are phrases that start with a word. They follow the
// command's own words in any order, each once at most; a comma before one does no
// harm. An entry's own words are settled first, so a word that also starts an
// option or a clause belongs to the phrase as long as the phrase asks for it.

type nodeKind uint8

const (
	wordNode nodeKind = iota
	commaNode
	slotNode
	optionalNode
)

// node is one part of a compiled phrase.
type node struct {
	kind  nodeKind
	words []string // of a wordNode: one of these
	slot  slot
	inner []node // of an optionalNode
}

// slot is a `{name:type args}`.
type slot struct {
	name, kind string
	args       []string
}

// tail is a compiled option or clause.
type tail struct {
	key    string // what "each once" goes by, and what an error calls it
	option string // the option's name, empty for a clause
	clause Clause
	nodes  []node
	lead   int // how many words it starts with
}

// command is a compiled entry.
type command struct {
	entry *Entry
	nodes []node
	tails []tail

	binding  *binding
	spelling spelling
}

// Language is a compiled phrase table.
type Language struct {
	commands []command
	order    []int // in which they are tried: those that start with more words of their own first
}

// clauses are the phrases of the clauses, in the notation of the table.
var clauses = [...]string{
	For:        "for {for:condition}",
	From:       "from {from:series}",
	As:         "as {as:name}",
	To:         "to {to:file written}",
	Each:       "each of {each:category}",
	Confidence: "confidence {confidence:percent}",
	Worth:      "worth {worth:amount}",
}

var standard = sync.OnceValue(func() *Language {
	l, err := Compile(Table)
	if err != nil {
		panic(err) // a slip in this package's own table: its tests compile it
	}
	return l
})

// Standard is the language of Table, compiled once.
func Standard() *Language { return standard() }

// Compile reads the phrases of a table. An error names the entry whose phrase,
// option or slot type is not well formed, or whose struct does not fit its phrase.
func Compile(table []Entry) (*Language, error) {
	l := &Language{}
	used := map[reflect.Type]map[string]bool{}
	for i := range table {
		e := &table[i]
		c := command{entry: e}
		var err error
		if c.nodes, err = compile(e.Phrase); err != nil {
			return nil, fmt.Errorf("entry %q: %w", e.Name, err)
		}
		if len(c.nodes) == 0 || c.nodes[0].kind != wordNode {
			return nil, fmt.Errorf("entry %q: a phrase starts with a word", e.Name)
		}
		for _, o := range e.Options {
			if err := c.addTail(tail{key: o.Name, option: o.Name}, o.Phrase); err != nil {
				return nil, fmt.Errorf("entry %q, option %q: %w", e.Name, o.Name, err)
			}
		}
		for _, k := range e.Clauses {
			key, _, _ := strings.Cut(clauses[k], " {")
			if err := c.addTail(tail{key: key, clause: k}, clauses[k]); err != nil {
				return nil, fmt.Errorf("entry %q: %w", e.Name, err)
			}
		}
		if err := c.bind(used); err != nil {
			return nil, fmt.Errorf("entry %q: %w", e.Name, err)
		}
		l.commands = append(l.commands, c)
	}
	l.reserve()
	for i := range l.commands {
		l.order = append(l.order, i)
	}
	slices.SortStableFunc(l.order, func(i, j int) int {
		return len(leading(l.commands[j].nodes)) - len(leading(l.commands[i].nodes))
	})
	if err := l.unfilled(used); err != nil {
		return nil, err
	}
	return l, nil
}

// reserve tells each command the words that a name in it is not written bare as: its own
// and those of the commands that start with the same word.
func (l *Language) reserve() {
	byFirst := map[string][]string{}
	for i := range l.commands {
		c := &l.commands[i]
		first := c.nodes[0].words[0]
		byFirst[first] = append(byFirst[first], wordsOf(c.nodes)...)
		for _, t := range c.tails {
			byFirst[first] = append(byFirst[first], wordsOf(t.nodes)...)
		}
	}
	for i := range l.commands {
		l.commands[i].spelling.words = byFirst[l.commands[i].nodes[0].words[0]]
	}
}

// wordsOf are the bare words of a phrase.
func wordsOf(nodes []node) []string {
	var out []string
	for _, n := range nodes {
		out = append(append(out, n.words...), wordsOf(n.inner)...)
	}
	return out
}

func (c *command) addTail(t tail, phrase string) error {
	var err error
	if t.nodes, err = compile(phrase); err != nil {
		return err
	}
	for t.lead < len(t.nodes) && t.nodes[t.lead].kind == wordNode {
		t.lead++
	}
	if t.lead == 0 {
		return fmt.Errorf("%q does not start with a word", phrase)
	}
	c.tails = append(c.tails, t)
	return nil
}

func compile(phrase string) ([]node, error) {
	nodes, rest, err := compileUntil(phrase, "")
	if err == nil && rest != "" {
		err = fmt.Errorf("%q: a ] without its [", phrase)
	}
	return nodes, err
}

// compileUntil reads nodes up to the closing mark, or to the end where it is "".
func compileUntil(s, closing string) (nodes []node, rest string, err error) {
	for {
		s = strings.TrimLeft(s, " ")
		switch {
		case s == "":
			if closing != "" {
				err = fmt.Errorf("a %s is missing", closing)
			}
			return nodes, "", err
		case s[0] == ']':
			if closing == "" {
				return nodes, s, nil
			}
			return nodes, s[1:], nil
		case s[0] == '[':
			var inner []node
			if inner, s, err = compileUntil(s[1:], "]"); err != nil {
				return nil, "", err
			}
			nodes = append(nodes, node{kind: optionalNode, inner: inner})
		case s[0] == ',':
			nodes = append(nodes, node{kind: commaNode})
			s = s[1:]
		case s[0] == '{':
			end := strings.IndexByte(s, '}')
			if end < 0 {
				return nil, "", fmt.Errorf("a } is missing")
			}
			n, err := compileSlot(s[1:end])
			if err != nil {
				return nil, "", err
			}
			nodes, s = append(nodes, n), s[end+1:]
		default:
			end := strings.IndexAny(s, " ,[]{")
			if end < 0 {
				end = len(s)
			}
			nodes = append(nodes, node{kind: wordNode, words: strings.Split(s[:end], "|")})
			s = s[end:]
		}
	}
}

func compileSlot(s string) (node, error) {
	name, kind, _ := strings.Cut(s, ":")
	f := strings.Fields(kind)
	if name == "" || len(f) == 0 {
		return node{}, fmt.Errorf("{%s} is not {name:type}", s)
	}
	if _, ok := slotTypes()[f[0]]; !ok {
		return node{}, fmt.Errorf("{%s}: there is no slot type %q", s, f[0])
	}
	return node{kind: slotNode, slot: slot{name: name, kind: f[0], args: f[1:]}}, nil
}
