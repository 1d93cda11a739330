package main

import (
	"bufio"
	"io/fs"
	"math/rand/v2"
	"regexp"
	"strings"

	"breakbook/repl/phrase"
	shipped "breakbook/testdata/demo"
)

// mangler makes lines that a careless hand would type out of lines that are right.
type mangler struct {
	random *rand.Rand
	lines  []string
}

// newMangler takes the example of every command and every line of the demo's book.
func newMangler(seed uint64) (*mangler, error) {
	m := &mangler{random: rand.New(rand.NewPCG(seed, 0))}
	for _, e := range phrase.Table {
		m.lines = append(m.lines, e.Example)
	}
	book, err := fs.ReadFile(shipped.Files, shipped.Book)
	if err != nil {
		return nil, err
	}
	for lines := bufio.NewScanner(strings.NewReader(string(book))); lines.Scan(); {
		if text := strings.TrimSpace(lines.Text()); text != "" && !strings.HasPrefix(text, "#") {
			m.lines = append(m.lines, text)
		}
	}
	return m, nil
}

// line is a right line with up to four things wrong in it; one in eight has none.
func (m *mangler) line() string {
	text := m.lines[m.random.IntN(len(m.lines))]
	if m.random.IntN(8) == 0 {
		return text
	}
	for range 1 + m.random.IntN(4) {
		if m.random.IntN(2) == 0 {
			text = m.words(text)
		} else {
			text = m.characters(text)
		}
	}
	return within(text)
}

// words drops, doubles, swaps, lengthens or borrows a word.
func (m *mangler) words(text string) string {
	words := strings.Fields(text)
	if len(words) == 0 {
		return text
	}
	i := m.random.IntN(len(words))
	switch m.random.IntN(6) {
	case 0:
		words = append(words[:i:i], words[i+1:]...)
	case 1:
		words = append(words[:i+1:i+1], words[i:]...)
	case 2:
		j := m.random.IntN(len(words))
		words[i], words[j] = words[j], words[i]
	case 3:
		words[i] = strings.Repeat(words[i], 1+m.random.IntN(400))
	case 4:
		other := strings.Fields(m.lines[m.random.IntN(len(m.lines))])
		words[i] = other[m.random.IntN(len(other))]
	case 5:
		return text + m.pick(" ", ", ", "; ", "\n") + m.lines[m.random.IntN(len(m.lines))]
	}
	return strings.Join(words, " ")
}

// odd are characters that lines have been known to break on.
var odd = []string{"\x00", "\x1b[2J", "\u202e", "\u00a0", "e\u0301\u0301", "ß", "İ", "木", "😀", "\ufeff",
	"\xff", "\xc3",
	`"`, "“", "(", ")", "-", "−", "%", "^",
	"#", ";", ",", "=", "<", "0", "9", "1e308", "1e-308", "²", "½", "\t", "\r", "'", "°", "·", "\ue000"}

// characters drops, doubles, swaps or puts in a character.
func (m *mangler) characters(text string) string {
	r := []rune(text)
	if len(r) == 0 {
		return text
	}
	i := m.random.IntN(len(r))
	switch m.random.IntN(4) {
	case 0:
		return string(r[:i]) + string(r[i+1:])
	case 1:
		return string(r[:i]) + strings.Repeat(string(r[i]), 1+m.random.IntN(3)) + string(r[i:])
	case 2:
		if i+1 < len(r) {
			r[i], r[i+1] = r[i+1], r[i]
		}
		return string(r)
	}
	return string(r[:i]) + m.pick(odd...) + string(r[i:])
}

func (m *mangler) pick(from ...string) string { return from[m.random.IntN(len(from))] }

// outside is the start of a path that would lead out of the folder.
var outside = regexp.MustCompile(`(^|[^\pL\pN])[/\\~]|\.\.`)

// within keeps the paths of a line in the folder where it is typed.
func within(text string) string { return outside.ReplaceAllString(text, "${1}·") }
