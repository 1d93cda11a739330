package parser

import (
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"breakbook/models/lists"
	"breakbook/repl/phrase"
	"breakbook/repl/phrase/scan"
)

// Disk is what completion knows of files; a nil function knows none.
type Disk struct {
	Paths  func(prefix string) []string // that start as typed
	Sheets func(path string) []string   // of a workbook
}

// Complete finds what could be typed at a position with the language of Table.
func Complete(line string, pos int, k phrase.Known, disk Disk) (start int, candidates []string) {
	return CompleteIn(phrase.Standard(), line, pos, k, disk)
}

// CompleteIn finds, with any language, what could stand in a line at pos, counted in characters: the
// candidates, each once, take the place of the characters from start to pos. They
// are read off the table: first words, then whatever the phrases that fit so far
// could go on with, files and the sheets of workbooks off the disk.
func CompleteIn(l *phrase.Language, line string, pos int, k phrase.Known,
	disk Disk) (start int, candidates []string) {
	in := []rune(line)
	in = in[:max(0, min(pos, len(in)))]
	start, begin := wordStart(in)
	typed := string(in[start:])
	before := in[begin:start]
	toks := scan.Tokens(before)
	met := map[string]bool{}
	one := func(w string) bool {
		if fitsTyped(w, typed) && !met[w] {
			met[w] = true
			candidates = append(candidates, w)
		}
		return len(candidates) < mostCandidates
	}
	add := func(words []string) {
		for _, w := range words {
			one(w)
		}
	}
	if toks[0].Kind == scan.End {
		add(l.FirstWords())
		return start, candidates
	}
	for _, w := range wantsAfter(l, before, toks, k) {
		if w.files != nil && disk.Paths != nil {
			candidates = append(candidates, paths(disk.Paths, typed, w.files)...)
		}
		if w.book != "" && disk.Sheets != nil {
			add(lists.Mapped(disk.Sheets(w.book), scan.Quoted))
		}
		if w.words != nil {
			add(w.words())
		}
		if w.roles != nil {
			add(w.roles())
		}
		add(w.common)
		if w.begun != nil {
			w.begun(typed, one)
		}
	}
	return start, candidates
}

// wantsAfter is what could come after all the tokens: of the entries that read them
// with the fewest faults, so that `anova of` is not taken for a column called "of".
func wantsAfter(l *phrase.Language, before []rune, toks []scan.Token, k phrase.Known) []want {
	var out []want
	fewest := -1
	for i := range l.Commands() {
		c := &l.Commands()[i]
		if toks[0].Kind != scan.Word || !slices.Contains(c.Nodes[0].Words, toks[0].Text) {
			continue
		}
		p := newParser(l, c, before, toks, k)
		p.command()
		switch faults := p.faultsBefore(len(p.toks) - 1); {
		case p.at != len(p.toks)-1 || fewest >= 0 && faults > fewest:
		case faults == fewest:
			out = append(out, p.wants...)
		default:
			fewest, out = faults, p.wants
		}
	}
	return out
}

// faultsBefore counts what was found wrong before a token.
func (p *parser) faultsBefore(token int) int {
	return lists.Count(p.soft, func(e *phrase.Error) bool { return e.At <= p.toks[token].Start })
}

// mostCandidates is how many specimens are offered: more are no help.
const mostCandidates = 200

// paths are the files that start as typed and end as they may, and the folders, in quotation marks where
// they need them.
func paths(files func(string) []string, typed string, endings []string) []string {
	prefix := strings.TrimPrefix(typed, `"`)
	var out []string
	for _, f := range files(prefix) {
		if len(endings) > 0 && !phrase.EndsIn(f, endings) && !strings.HasSuffix(f, string(filepath.Separator)) {
			continue
		}
		if strings.ContainsFunc(f, unicode.IsSpace) || prefix != typed || strings.ContainsAny(f, `;,#"`) {
			f = scan.Quoted(f)
		}
		out = append(out, f)
	}
	return out
}

// fitsTyped reports whether a candidate goes on from what was typed.
func fitsTyped(word, typed string) bool {
	w, t := []rune(strings.TrimPrefix(word, `"`)), []rune(strings.TrimPrefix(typed, `"`))
	if len(t) > len(w) {
		return false
	}
	return strings.EqualFold(string(w[:len(t)]), string(t))
}

// wordStart finds where the word at the end starts, and where its command starts.
func wordStart(in []rune) (word, command int) {
	for i := 0; i < len(in); i++ {
		switch r := in[i]; {
		case scan.IsQuote(r) && scan.OpensAt(in, i):
			_, end, closed := scan.Unquote(in, i)
			if !closed {
				return i, command
			}
			word, i = i, end-1
		case r == ';':
			word, command = i+1, i+1
		case unicode.IsSpace(r) || strings.ContainsRune(",(<>=^", r):
			word = i + 1
		}
	}
	return word, command
}
