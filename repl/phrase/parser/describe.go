package parser

import (
	"slices"
	"strings"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
)

// Description is what the table says of one command, for people.
type Description struct {
	*phrase.Entry
	Lead     []string // the words it starts with
	Words    []string // all bare words of its own and of what may follow
	Shown    string   // its phrase as a person would write it: compare Y by A
	Follow   []string // what may follow, the options before the clauses
	Tailored string   // its example, on the user's own columns where that can be
}

// Describe gives every command in table order; k may be nil.
func Describe(l *phrase.Language, k phrase.Known) []Description {
	out := make([]Description, len(l.Commands()))
	for i := range l.Commands() {
		c := &l.Commands()[i]
		out[i] = Description{Entry: c.Entry, Lead: pattern.Leading(c.Nodes), Words: ownWords(c),
			Shown: shownPhrase(c.Nodes), Tailored: example(l, c.Entry, k)}
		for _, t := range c.Tails {
			out[i].Follow = append(out[i].Follow, shownPhrase(t.Nodes))
		}
	}
	return out
}

// ownWords are the bare words of a command and its options.
func ownWords(c *phrase.Compiled) []string {
	out := bareWords(c.Nodes)
	for _, t := range c.Tails {
		out = append(out, bareWords(t.Nodes)...)
		out = append(out, t.Key)
	}
	return out
}

func bareWords(nodes []pattern.Node) []string {
	var out []string
	for _, n := range nodes {
		out = append(out, n.Words...)
		out = append(out, bareWords(n.Inner)...)
		if n.Kind == pattern.Slotted && n.Slot.Kind == "choice" {
			out = append(out, n.Slot.Args...)
		}
	}
	return out
}

// generic is how a slot is shown whose own name is a word of its phrase, by its type.
var generic = map[string]string{"number": "COLUMN", "category": "COLUMN", "column": "COLUMN", "response": "COLUMN",
	"level": "LEVEL", "words": "NAME", "result": "NAME"}

// shownPhrase writes a phrase for people: slots in capitals, choices spelled out.
func shownPhrase(nodes []pattern.Node) string { return shownAmong(nodes, bareWords(nodes)) }

// shownAmong writes a part of a phrase that has these words.
func shownAmong(nodes []pattern.Node, words []string) string {
	var b strings.Builder
	for _, n := range nodes {
		part := ""
		switch n.Kind {
		case pattern.Word:
			part = strings.Join(n.Words, "/")
		case pattern.Comma:
			b.WriteByte(',')
			continue
		case pattern.Slotted:
			part = slotTypes()[n.Slot.Kind].show
			switch {
			case n.Slot.Kind == "choice":
				part = strings.Join(n.Slot.Args, "/")
			case part == "":
				part = strings.ToUpper(n.Slot.Name)
				if other := generic[n.Slot.Kind]; other != "" && slices.Contains(words, n.Slot.Name) {
					part = other
				}
			}
		case pattern.Optional:
			part = "[" + shownAmong(n.Inner, words) + "]"
		}
		if b.Len() > 0 && !strings.HasPrefix(part, "[,") {
			b.WriteByte(' ')
		}
		b.WriteString(part)
	}
	return b.String()
}
