package phrase

import (
	"slices"
	"strings"
)

// Description is what the table says of one command, for people.
type Description struct {
	*Entry
	Lead     []string // the words it starts with
	Words    []string // all bare words of its own and of what may follow
	Shown    string   // its phrase as a person would write it: compare Y by A
	Follow   []string // what may follow, the options before the clauses
	Tailored string   // its example, on the user's own columns where that can be
}

// Describe gives every command in table order; k may be nil.
func (l *Language) Describe(k Known) []Description {
	out := make([]Description, len(l.commands))
	for i := range l.commands {
		c := &l.commands[i]
		out[i] = Description{Entry: c.entry, Lead: leading(c.nodes), Words: c.ownWords(),
			Shown: shownPhrase(c.nodes), Tailored: l.example(c.entry, k)}
		for _, t := range c.tails {
			out[i].Follow = append(out[i].Follow, shownPhrase(t.nodes))
		}
	}
	return out
}

// FirstWords are the words a command can start with, each once, in table order.
func (l *Language) FirstWords() []string {
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

// leading are the words a phrase starts with.
func leading(nodes []node) []string {
	var out []string
	for _, n := range nodes {
		if n.kind != wordNode {
			break
		}
		out = append(out, n.words[0])
	}
	return out
}

// ownWords are the bare words of a command and its options.
func (c *command) ownWords() []string {
	out := bareWords(c.nodes)
	for _, t := range c.tails {
		out = append(out, bareWords(t.nodes)...)
		out = append(out, t.key)
	}
	return out
}

func bareWords(nodes []node) []string {
	var out []string
	for _, n := range nodes {
		out = append(out, n.words...)
		out = append(out, bareWords(n.inner)...)
		if n.kind == slotNode && n.slot.kind == "choice" {
			out = append(out, n.slot.args...)
		}
	}
	return out
}

// generic is how a slot is shown whose own name is a word of its phrase, by its type.
var generic = map[string]string{"number": "COLUMN", "category": "COLUMN", "column": "COLUMN", "response": "COLUMN",
	"level": "LEVEL", "words": "NAME", "result": "NAME"}

// shownPhrase writes a phrase for people: slots in capitals, choices spelled out.
func shownPhrase(nodes []node) string { return shownAmong(nodes, bareWords(nodes)) }

// shownAmong writes a part of a phrase that has these words.
func shownAmong(nodes []node, words []string) string {
	var b strings.Builder
	for _, n := range nodes {
		part := ""
		switch n.kind {
		case wordNode:
			part = strings.Join(n.words, "/")
		case commaNode:
			b.WriteByte(',')
			continue
		case slotNode:
			part = slotTypes()[n.slot.kind].show
			switch {
			case n.slot.kind == "choice":
				part = strings.Join(n.slot.args, "/")
			case part == "":
				part = strings.ToUpper(n.slot.name)
				if other := generic[n.slot.kind]; other != "" && slices.Contains(words, n.slot.name) {
					part = other
				}
			}
		case optionalNode:
			part = "[" + shownAmong(n.inner, words) + "]"
		}
		if b.Len() > 0 && !strings.HasPrefix(part, "[,") {
			b.WriteByte(' ')
		}
		b.WriteString(part)
	}
	return b.String()
}
