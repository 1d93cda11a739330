package phrase

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"breakbook/models/lists"
	"breakbook/repl/phrase/pattern"
)

// Tail is a compiled option or clause.
type Tail struct {
	Key    string // what "each once" goes by, and what an error calls it
	Option string // the option's name, empty for a clause
	Clause Clause
	Nodes  []pattern.Node
	Lead   int // how many words it starts with
}

// Compiled is a compiled entry.
type Compiled struct {
	Entry *Entry
	Nodes []pattern.Node
	Tails []Tail

	*binding
	spelling spelling
}

// Language is a compiled phrase table.
type Language struct {
	commands []Compiled
	words    []string
	order    []int // in which they are tried: those that start with more words of their own first
}

// clauses are the phrases of the clauses, in the notation of the table.
var clauses = [...]string{
	For:        "for {for:condition}",
	From:       "from {from:series}",
	As:         "as {as:name}",
	To:         "to {to:file written .png .svg .pdf .csv}",
	Each:       "each of {each:category}",
	Confidence: "confidence {confidence:percent 90% 95% 99%}",
	Worth:      "worth {worth:amount 5% 10% 20%}",
	WorthPer:   "worth {worth:amount 5% 10% 20%} [per {per:costunit}]",
}

var standard = sync.OnceValue(func() *Language {
	l, err := Compile(Table)
	if err != nil {
		panic(err) // a slip in this package's own table: its tests compile it
	}
	return l
})

// Commands are the commands in the order of the table.
func (l *Language) Commands() []Compiled { return l.commands }

// Order are the places of the commands in the order in which they are tried.
func (l *Language) Order() []int { return l.order }

// FirstWords are the words a command can start with, each once, in table order.
func (l *Language) FirstWords() []string {
	var out []string
	for _, c := range l.Commands() {
		for _, w := range c.Nodes[0].Words {
			out = lists.With(out, w)
		}
	}
	return out
}

// Words are the bare words of all phrases, options and clauses, each once.
func (l *Language) Words() []string { return l.words }

// Standard is the language of Table, compiled once.
func Standard() *Language { return standard() }

// Compile reads the phrases of a table. An error names the entry whose phrase, option, slot type or struct is not
// well formed; that structs and phrases fit each other is for the tests to see.
func Compile(table []Entry) (*Language, error) {
	l := &Language{}
	for i := range table {
		e := &table[i]
		c := Compiled{Entry: e}
		var err error
		if c.Nodes, err = pattern.Compile(e.Phrase, known); err != nil {
			return nil, fmt.Errorf("entry %q: %w", e.Name, err)
		}
		if len(c.Nodes) == 0 || c.Nodes[0].Kind != pattern.Word {
			return nil, fmt.Errorf("entry %q: a phrase starts with a word", e.Name)
		}
		for _, o := range e.Options {
			if err := c.addTail(Tail{Key: o.Name, Option: o.Name}, o.Phrase); err != nil {
				return nil, fmt.Errorf("entry %q, option %q: %w", e.Name, o.Name, err)
			}
		}
		for _, k := range e.Clauses {
			key, _, _ := strings.Cut(clauses[k], " {")
			if err := c.addTail(Tail{Key: key, Clause: k}, clauses[k]); err != nil {
				return nil, fmt.Errorf("entry %q: %w", e.Name, err)
			}
		}
		if c.binding, err = bind(e.Do); err != nil {
			return nil, fmt.Errorf("entry %q: %w", e.Name, err)
		}
		l.commands = append(l.commands, c)
	}
	l.reserve()
	for i := range l.commands {
		l.order = append(l.order, i)
	}
	slices.SortStableFunc(l.order, func(i, j int) int {
		return len(pattern.Leading(l.commands[j].Nodes)) - len(pattern.Leading(l.commands[i].Nodes))
	})
	for _, c := range l.commands {
		l.words = append(l.words, pattern.Words(c.Nodes)...)
		for _, t := range c.Tails {
			l.words = append(l.words, pattern.Words(t.Nodes)...)
		}
	}
	slices.Sort(l.words)
	l.words = slices.Compact(l.words)
	return l, nil
}

// reserve tells each command the words that a name in it is not written bare as: its own
// and those of the commands that start with the same word.
func (l *Language) reserve() {
	byFirst := map[string][]string{}
	for i := range l.commands {
		c := &l.commands[i]
		first := c.Nodes[0].Words[0]
		byFirst[first] = append(byFirst[first], pattern.Words(c.Nodes)...)
		for _, t := range c.Tails {
			words := slices.Clone(pattern.Words(t.Nodes))
			// the column that every pool has: options have another word beside theirs
			words = slices.DeleteFunc(words, func(w string) bool { return w == "series" })
			byFirst[first] = append(byFirst[first], words...)
		}
	}
	for i := range l.commands {
		l.commands[i].spelling.words = byFirst[l.commands[i].Nodes[0].Words[0]]
	}
}

func known(kind string) bool { return gives[kind] != nil }

func (c *Compiled) addTail(t Tail, phrase string) error {
	var err error
	if t.Nodes, err = pattern.Compile(phrase, known); err != nil {
		return err
	}
	if t.Lead = len(pattern.Leading(t.Nodes)); t.Lead == 0 {
		return fmt.Errorf("%q does not start with a word", phrase)
	}
	c.Tails = append(c.Tails, t)
	return nil
}
