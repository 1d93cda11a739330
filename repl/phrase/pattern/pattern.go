// Package pattern reads the notation in which the table of commands writes a phrase:
// `compare {y:response} by {a:category}` comes in; its words, commas, slots and parts that
// may be left out go out. What a slot holds is not known here.
package pattern

import (
	"fmt"
	"slices"
	"strings"

	"breakbook/models/lists"
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
//	stack                             lists of columns with below between them
//	level SLOT, levels SLOT           of the column in that slot, before or after
//	blocks                            day, board within day
//	condition                         pins is none and load > 300 N
//	mode                              failure is glue, failure among glue, mixed
//	given                             pins pair or none, density 620 kg/m3
//	expression                        load / (34 mm * 30 mm)
//	which                             specimen 7, 9 or for load > 300 N
//	result KIND …, results KIND …     results of these kinds (no kind: any)
//	series, manyseries                an open series, two and more (`past`: one and more); `own`: the columns named
//	                                  after it are that series' own, as they are the first one's of several
//	name, newcolumn                   a new name; that of a column may have blanks
//	words                             quoted, or all up to the next word of the phrase
//	file, files                       one word each, or quoted; `written`: the command writes it
//	quoted, texts, rest               text in quotation marks, a list of words or
//	                                  texts, all that is left of the command
//	amount percent count extent unit  10 N or 10%; 90%; 7; 5 or 5 to 12; kgf (`beside`: a column follows)
//	amounts SLOT                      500 kg/m3, 600, beside the column in that slot
//	choice WORD …                     one of these words
//	perlevel SLOT                     8, or 8 none, 12 pair of the column in that slot
//	prices SLOT                       4 none, 6 pair, or 4 minutes none, 6 minutes pair
//	costunit                          what prices are in: minute, euro
//
// Options and clauses are phrases that start with a word. They follow the
// command's own words in any order, each once at most; a comma before one does no
// harm. An entry's own words are settled first, so a word that also starts an
// option or a clause belongs to the phrase as long as the phrase asks for it.

// Kind is what a part of a phrase is.
type Kind uint8

const (
	Word Kind = iota
	Comma
	Slotted
	Optional
)

// Node is one part of a compiled phrase.
type Node struct {
	Kind  Kind
	Words []string // of a Word: one of these
	Slot  Slot
	Inner []Node // of an Optional
}

// Slot is a `{name:type args}`.
type Slot struct {
	Name, Kind string
	Args       []string
}

// Words are the bare words of a phrase.
func Words(nodes []Node) []string {
	var out []string
	for _, n := range nodes {
		out = append(append(out, n.Words...), Words(n.Inner)...)
	}
	return out
}

// Compile reads a phrase; known tells which types of slot there are.
func Compile(phrase string, known func(kind string) bool) ([]Node, error) {
	nodes, rest, err := compileUntil(phrase, "", known)
	if err == nil && rest != "" {
		err = fmt.Errorf("%q: a ] without its [", phrase)
	}
	return nodes, err
}

// compileUntil reads nodes up to the closing mark, or to the end where it is "".
func compileUntil(s, closing string, known func(kind string) bool) (nodes []Node, rest string, err error) {
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
			var inner []Node
			if inner, s, err = compileUntil(s[1:], "]", known); err != nil {
				return nil, "", err
			}
			nodes = append(nodes, Node{Kind: Optional, Inner: inner})
		case s[0] == ',':
			nodes = append(nodes, Node{Kind: Comma})
			s = s[1:]
		case s[0] == '{':
			end := strings.IndexByte(s, '}')
			if end < 0 {
				return nil, "", fmt.Errorf("a } is missing")
			}
			n, err := compileSlot(s[1:end], known)
			if err != nil {
				return nil, "", err
			}
			nodes, s = append(nodes, n), s[end+1:]
		default:
			end := strings.IndexAny(s, " ,[]{")
			if end < 0 {
				end = len(s)
			}
			nodes = append(nodes, Node{Kind: Word, Words: strings.Split(s[:end], "|")})
			s = s[end:]
		}
	}
}

func compileSlot(s string, known func(kind string) bool) (Node, error) {
	name, kind, _ := strings.Cut(s, ":")
	f := strings.Fields(kind)
	if name == "" || len(f) == 0 {
		return Node{}, fmt.Errorf("{%s} is not {name:type}", s)
	}
	if !known(f[0]) {
		return Node{}, fmt.Errorf("{%s}: there is no slot type %q", s, f[0])
	}
	return Node{Kind: Slotted, Slot: Slot{Name: name, Kind: f[0], Args: f[1:]}}, nil
}

// Slots are the slots of a phrase, those that have to be there and those that may be.
func Slots(nodes []Node) (own, maybe []Slot) {
	for _, n := range nodes {
		switch n.Kind {
		case Slotted:
			own = append(own, n.Slot)
		case Optional:
			a, b := Slots(n.Inner)
			maybe = append(append(maybe, a...), b...)
		}
	}
	return own, maybe
}

// AllSlots are the slots of a phrase, those that may be left out after the others.
func AllSlots(nodes []Node) []Slot {
	own, maybe := Slots(nodes)
	return append(own, maybe...)
}

// Leading are the words a phrase starts with.
func Leading(nodes []Node) []string {
	var out []string
	for _, n := range nodes {
		if n.Kind != Word {
			break
		}
		out = append(out, n.Words[0])
	}
	return out
}

// Written reports whether what stands in the slot is written by the command.
func (s Slot) Written() bool { return slices.Contains(s.Args, "written") }

// Endings are the endings of the files that the slot takes; none: any.
func (s Slot) Endings() []string {
	return lists.Where(s.Args, func(a string) bool { return strings.HasPrefix(a, ".") })
}
