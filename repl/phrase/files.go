package phrase

import (
	"slices"
	"strings"
	"unicode"
)

// FileUse is a file that a command names, with the place of its name: the characters
// from At to before End, both 1-based, quotation marks included.
type FileUse struct {
	Path    string // as typed, without the marks
	At, End int
	Written bool // the command writes it; else it reads it

	Real string // where it is read from, for who runs the command; empty: where Path leads
}

// written reports whether what stands in the slot is written by the command.
func (s slot) written() bool { return slices.Contains(s.args, "written") }

// fileAt reads the path that starts at a token: a quoted text, or all up to the next
// blank, without a comma at its end.
func fileAt(in []rune, t token) (FileUse, bool) {
	f := FileUse{At: t.start + 1}
	switch t.kind {
	case endToken, commaToken, openQuoteToken:
		return f, false
	case quoteToken:
		f.Path, f.End = t.text, t.end+1
		return f, true
	}
	end := t.start
	for end < len(in) && !unicode.IsSpace(in[end]) {
		end++
	}
	f.Path = strings.TrimRight(string(in[t.start:end]), ",")
	f.End = f.At + len([]rune(f.Path))
	return f, true
}

// SpellFile writes a path as it is typed in a command: bare where it can be read back
// so, else in quotation marks. It is false for a path that cannot be typed.
func SpellFile(path string) (string, bool) {
	bare := path != "" && strings.ContainsAny(path, "./") &&
		!strings.ContainsFunc(path, func(r rune) bool { return !isWord(r) })
	text := path
	if !bare {
		text = `"` + strings.ReplaceAll(path, `"`, `""`) + `"`
	}
	in := []rune(text)
	f, ok := fileAt(in, scan(in)[0])
	return text, ok && f.Path == path && f.End == len(in)+1 && !strings.ContainsAny(path, "\r\n")
}

// Outline says, without a session, which entry of the table a command most likely is
// and which files it names: columns, levels and results are read past, whatever they
// are called. Of entries that start with the same words it is the first. Without one there is none.
func Outline(piece Piece) (*Entry, []FileUse) { return Standard().outline(piece) }

func (l *Language) outline(piece Piece) (*Entry, []FileUse) {
	in := []rune(piece.Text)
	toks := scan(in)
	var best *command
	lead := 0
	for i := range l.commands {
		c := &l.commands[i]
		n := leadCount(c.nodes)
		if n > lead && starting(toks, c.nodes[:n]) {
			best, lead = c, n
		}
	}
	if best == nil {
		return nil, nil
	}
	files := filesOf(in, toks, best.nodes, lead)
	for _, t := range best.tails {
		files = append(files, filesOf(in, toks[lead:], t.nodes, 0)...)
	}
	return best.entry, files
}

// leadCount counts the words that nodes start with.
func leadCount(nodes []node) int {
	n := 0
	for n < len(nodes) && nodes[n].kind == wordNode {
		n++
	}
	return n
}

func starting(toks []token, words []node) bool {
	for i, w := range words {
		if i >= len(toks) || toks[i].kind != wordToken || !slices.Contains(w.words, toks[i].text) {
			return false
		}
	}
	return true
}

// filesOf finds the files of a phrase whose first words are the first tokens: each
// stands behind the last of the tokens that is the word before its slot.
func filesOf(in []rune, toks []token, nodes []node, lead int) []FileUse {
	var out []FileUse
	for k, n := range nodes {
		if n.kind != slotNode || n.slot.kind != "file" && n.slot.kind != "files" || k == 0 || nodes[k-1].kind != wordNode {
			continue
		}
		at := lead
		if k != lead || lead == 0 {
			if at = lastWord(toks, nodes[k-1].words); at == 0 {
				continue
			}
		}
		for at < len(toks) {
			f, ok := fileAt(in, toks[at])
			if !ok {
				break
			}
			f.Written = n.slot.written()
			out = append(out, f)
			for at < len(toks) && toks[at].kind != endToken && toks[at].start < f.End-1 {
				at++
			}
			if n.slot.kind == "file" || starting(toks[at:], nodes[k+1:min(k+2, len(nodes))]) {
				break
			}
		}
	}
	return out
}

// lastWord is the place behind the last token that is one of the words and has
// something after it; 0: there is none.
func lastWord(toks []token, words []string) int {
	for i := len(toks) - 2; i > 0; i-- {
		if toks[i-1].kind == wordToken && slices.Contains(words, toks[i-1].text) && toks[i].kind != endToken {
			return i
		}
	}
	return 0
}
