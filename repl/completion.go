package repl

import (
	"os"
	"slices"
	"strings"

	"breakbook/repl/phrase/parser"
	"breakbook/repl/render"
)

// complete finds what the word at a place of the line being typed could become. On a line where
// nothing is typed yet it is the line that the last hint offers. A word that is whole is followed by
// a blank, at the end of the line.
func (l *loop) complete(line string, pos int) (start int, candidates []string) {
	if l.pending == "" {
		if offer, is := l.offered(line); is {
			return 0, []string{offer}
		}
	}
	before := len([]rune(l.pending))
	start, candidates = parser.Complete(l.pending+line, before+pos, l.session, onDisk)
	if start < before {
		return pos, nil
	}
	if len(candidates) == 1 && !goesOn(candidates[0]) && pos == len([]rune(line)) {
		candidates = []string{candidates[0] + " "}
	}
	return start - before, candidates
}

// goesOn reports whether what is typed next belongs to the same word: after a bracket or a folder.
func goesOn(word string) bool {
	return strings.HasSuffix(word, "(") || strings.HasSuffix(word, string(os.PathSeparator))
}

// pathsToShow is pathsFrom without the paths that a terminal would not just show.
func pathsToShow(prefix string) []string {
	return slices.DeleteFunc(pathsFrom(prefix), func(path string) bool { return render.Clean(path) != path })
}
