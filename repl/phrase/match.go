package phrase

import (
	"cmp"
	"slices"
	"unicode"
)

// matchName reports how far the name reaches when it is read at in[i]: without
// case, a blank or `_` of the name standing for one `_` or any run of blanks.
// It is -1 where the name does not stand there.
func matchName(in []rune, i int, name string) int {
	for _, r := range name {
		switch {
		case i >= len(in):
			return -1
		case r == '_' || unicode.IsSpace(r):
			switch {
			case in[i] == '_':
				i++
			case unicode.IsSpace(in[i]):
				for i < len(in) && unicode.IsSpace(in[i]) {
					i++
				}
			default:
				return -1
			}
		case in[i] == r || unicode.ToLower(in[i]) == unicode.ToLower(r):
			i++
		default:
			return -1
		}
	}
	return i
}

// longest finds which of the names is read at the current token and how many
// tokens it takes: the longest wins, then the one spelt exactly so, then the first.
func (p *parser) longest(names []string) (which, tokens int) {
	which = -1
	start := p.tok().start
	end, exact := start, false
	for k, name := range names {
		e := matchName(p.in, start, name)
		if e < end || e == start || !p.boundary(e) || p.single && slices.ContainsFunc(p.in[start:e], unicode.IsSpace) {
			continue
		}
		same := string(p.in[start:e]) == name
		if which < 0 || e > end || same && !exact {
			which, end, exact = k, e, same
		}
	}
	if which < 0 {
		return -1, 0
	}
	for k := p.i; p.toks[k].start < end; k++ {
		tokens++
	}
	return which, tokens
}

// boundary reports whether a name may end at the character offset: at the end of a
// token, and not in the middle of what would be one bare word.
func (p *parser) boundary(e int) bool {
	inWord := isWord
	if p.expression {
		inWord = inName
	}
	if e < len(p.in) && e > 0 && inWord(p.in[e]) && inWord(p.in[e-1]) {
		return false
	}
	_, found := slices.BinarySearchFunc(p.toks, e, func(t token, e int) int { return cmp.Compare(t.end, e) })
	return found
}

// sameName compares a quoted text with a name.
func sameName(text, name string) bool {
	in := []rune(text)
	return len(in) > 0 && matchName(in, 0, name) == len(in)
}

// findQuoted finds a quoted text among names, the exact spelling before any other.
func findQuoted(text string, names []string) int {
	if k := slices.Index(names, text); k >= 0 {
		return k
	}
	return slices.IndexFunc(names, func(n string) bool { return sameName(text, n) })
}

// roleWords stand for the column marked so, where no column has that name.
var roleWords = []string{"load", "failure", "specimen", "block", "weight"}

// RoleWords are the words that stand for the column marked so.
func RoleWords() []string { return slices.Clone(roleWords) }

// readColumn reads a column name; found is false where none stands there, and then
// nothing is taken.
func (p *parser) readColumn() (c KnownColumn, found bool) {
	cols := p.known.Columns(p.series)
	t := p.tok()
	if t.kind == quoteToken {
		for _, form := range []func(KnownColumn) string{columnName, columnLabel} {
			if k := findQuoted(t.text, mapped(cols, form)); k >= 0 {
				p.i++
				return cols[k], true
			}
		}
		return KnownColumn{}, false
	}
	names := append(mapped(cols, columnName), mapped(cols, columnLabel)...)
	if k, n := p.longest(names); k >= 0 {
		p.i += n
		return cols[k%len(cols)], true
	}
	if t.kind == wordToken && slices.Contains(roleWords, t.text) {
		name := p.known.RoleColumn(p.series, t.text)
		if k := slices.Index(mapped(cols, columnName), name); k >= 0 && name != "" {
			p.i++
			return cols[k], true
		}
	}
	return KnownColumn{}, false
}

func columnName(c KnownColumn) string  { return c.Name }
func columnLabel(c KnownColumn) string { return c.Label }

func mapped[A, B any](list []A, f func(A) B) []B {
	out := make([]B, len(list))
	for i, x := range list {
		out[i] = f(x)
	}
	return out
}
