package parser

import (
	"cmp"
	"slices"
	"unicode"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/scan"
)

// longest finds which of the names is read at the current token and how many
// tokens it takes: the longest wins, then the one spelt exactly so, then the first.
func (p *parser) longest(names []string) (which, tokens int) {
	which = -1
	start := p.tok().Start
	end, exact := start, false
	for k, name := range names {
		e := scan.Match(p.in, start, name)
		if e < end || e == start || !p.boundary(e) || p.single && slices.ContainsFunc(p.in[start:e], unicode.IsSpace) {
			continue
		}
		if same := string(p.in[start:e]) == name; which < 0 || e > end || same && !exact {
			which, end, exact = k, e, same
		}
	}
	if which < 0 {
		return -1, 0
	}
	for k := p.i; p.toks[k].Start < end; k++ {
		tokens++
	}
	return which, tokens
}

// boundary reports whether a name may end at the character offset: at the end of a
// token, and not in the middle of what would be one bare word.
func (p *parser) boundary(e int) bool {
	inWord := scan.IsWord
	if p.expression {
		inWord = scan.InName
	}
	if e < len(p.in) && e > 0 && inWord(p.in[e]) && inWord(p.in[e-1]) {
		return false
	}
	_, found := slices.BinarySearchFunc(p.toks, e, func(t scan.Token, e int) int { return cmp.Compare(t.End, e) })
	return found
}

// findQuoted finds a quoted text among names, the exact spelling before any other.
func findQuoted(text string, names []string) int {
	if k := slices.Index(names, text); k >= 0 {
		return k
	}
	return slices.IndexFunc(names, func(n string) bool { return scan.Same(text, n) })
}

// readColumn reads a column name; found is false where none stands there, and then
// nothing is taken.
func (p *parser) readColumn() (c phrase.KnownColumn, found bool) {
	cols := p.known.Columns(p.series)
	t := p.tok()
	if t.Kind == scan.Quote {
		for _, form := range columnForms {
			if k := findQuoted(t.Text, lists.Mapped(cols, form)); k >= 0 {
				p.i++
				return cols[k], true
			}
		}
		return phrase.KnownColumn{}, false
	}
	var names []string
	for _, form := range columnForms {
		names = append(names, lists.Mapped(cols, form)...)
	}
	if k, n := p.longest(names); k >= 0 {
		p.i += n
		return cols[k%len(cols)], true
	}
	if t.Kind == scan.Word && slices.Contains(phrase.RoleWords(), t.Text) {
		name := p.known.RoleColumn(p.series, t.Text)
		if k := slices.Index(lists.Mapped(cols, columnName), name); k >= 0 && name != "" {
			p.i++
			return cols[k], true
		}
	}
	return phrase.KnownColumn{}, false
}

func columnName(c phrase.KnownColumn) string { return c.Name }

// columnForms are what a column can be typed as.
var columnForms = []func(phrase.KnownColumn) string{
	columnName,
	func(c phrase.KnownColumn) string { return c.Label },
	func(c phrase.KnownColumn) string { return cmp.Or(c.Header, c.Name) },
}
