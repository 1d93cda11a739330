package phrase

import (
	"slices"
	"strings"
	"unicode"

	"breakbook/repl/phrase/pattern"
	"breakbook/repl/phrase/scan"
)

// FileUse is a file that a command names, with the place of its name: the characters
// from At to before End, both 1-based, quotation marks included.
type FileUse struct {
	Path    string // as typed, without the marks
	At, End int
	Written bool // the command writes it; else it reads it

	Real string // where it is read from, for who runs the command; empty: where Path leads
}

// FileAt reads the path that starts at a token: a quoted text, or all up to the next
// blank, without a comma at its end.
func FileAt(in []rune, t scan.Token) (FileUse, bool) {
	f := FileUse{At: t.Start + 1}
	switch t.Kind {
	case scan.End, scan.Comma, scan.OpenQuote:
		return f, false
	case scan.Quote:
		f.Path, f.End = t.Text, t.End+1
		return f, true
	}
	end := t.Start
	for end < len(in) && !unicode.IsSpace(in[end]) {
		end++
	}
	f.Path = strings.TrimRight(string(in[t.Start:end]), ",")
	f.End = f.At + len([]rune(f.Path))
	return f, true
}

// SpellFile writes a path as it is typed in a command: bare where it can be read back
// so, else in quotation marks. It is false for a path that cannot be typed.
func SpellFile(path string) (string, bool) {
	bare := path != "" && strings.ContainsAny(path, "./") &&
		!strings.ContainsFunc(path, func(r rune) bool { return !scan.IsWord(r) })
	text := path
	if !bare {
		text = `"` + strings.ReplaceAll(path, `"`, `""`) + `"`
	}
	in := []rune(text)
	f, ok := FileAt(in, scan.Tokens(in)[0])
	return text, ok && f.Path == path && f.End == len(in)+1 && !strings.ContainsAny(path, "\r\n")
}

// WithFile is a command with another path in place of the one typed at the 1-based
// character at: a hint that can be typed as it stands.
func WithFile(input string, at int, path string) string {
	in := []rune(input)
	if at < 1 || at > len(in) {
		return input
	}
	f, ok := FileAt(in, scan.TokensFrom(in, at-1, false)[0])
	if !ok {
		return input
	}
	return string(in[:at-1]) + SpelledPath(path) + string(in[f.End-1:])
}

// WithSheet is a command that opens a workbook with the sheet named that it left open.
func WithSheet(input, sheet string) string {
	return strings.TrimRightFunc(input, unicode.IsSpace) + " sheet " + scan.Quoted(sheet)
}

// Outline says, without a session, which entry of the table a command most likely is
// and which files it names: columns, levels and results are read past, whatever they
// are called. Of entries that start with the same words it is the first. Without one there is none.
func Outline(piece Piece) (*Entry, []FileUse) { return Standard().outline(piece) }

func (l *Language) outline(piece Piece) (*Entry, []FileUse) {
	in := []rune(piece.Text)
	toks := scan.Tokens(in)
	var best *Compiled
	lead := 0
	for i := range l.commands {
		c := &l.commands[i]
		if n := len(pattern.Leading(c.Nodes)); n > lead && starting(toks, c.Nodes[:n]) {
			best, lead = c, n
		}
	}
	if best == nil {
		return nil, nil
	}
	files := filesOf(in, toks, best.Nodes, lead)
	for _, t := range best.Tails {
		files = append(files, filesOf(in, toks[lead:], t.Nodes, 0)...)
	}
	return best.Entry, files
}

func starting(toks []scan.Token, words []pattern.Node) bool {
	for i, w := range words {
		if i >= len(toks) || toks[i].Kind != scan.Word || !slices.Contains(w.Words, toks[i].Text) {
			return false
		}
	}
	return true
}

// filesOf finds the files of a phrase whose first words are the first tokens: each
// stands behind the last of the tokens that is the word before its slot.
func filesOf(in []rune, toks []scan.Token, nodes []pattern.Node, lead int) []FileUse {
	var out []FileUse
	for k, n := range nodes {
		if n.Kind != pattern.Slotted || n.Slot.Kind != "file" && n.Slot.Kind != "files" || k == 0 ||
			nodes[k-1].Kind != pattern.Word {
			continue
		}
		at := lead
		if k != lead || lead == 0 {
			if at = lastWord(toks, nodes[k-1].Words); at == 0 {
				continue
			}
		}
		for at < len(toks) {
			f, ok := FileAt(in, toks[at])
			if !ok {
				break
			}
			f.Written = n.Slot.Written()
			out = append(out, f)
			for at < len(toks) && toks[at].Kind != scan.End && toks[at].Start < f.End-1 {
				at++
			}
			if n.Slot.Kind == "file" || starting(toks[at:], nodes[k+1:min(k+2, len(nodes))]) {
				break
			}
		}
	}
	return out
}

// lastWord is the place behind the last token that is one of the words and has
// something after it; 0: there is none.
func lastWord(toks []scan.Token, words []string) int {
	for i := len(toks) - 2; i > 0; i-- {
		if toks[i-1].Kind == scan.Word && slices.Contains(words, toks[i-1].Text) && toks[i].Kind != scan.End {
			return i
		}
	}
	return 0
}
