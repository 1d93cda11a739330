package phrase

import (
	"slices"
	"strings"
	"sync"

	"breakbook/repl/phrase/pattern"
)

// endings are the endings of files by the command that names them, as its slots tell.
var endings = sync.OnceValue(func() map[string][]string {
	out := map[string][]string{}
	for _, c := range Standard().Commands() {
		slots := pattern.AllSlots(c.Nodes)
		for _, t := range c.Tails {
			slots = append(slots, pattern.AllSlots(t.Nodes)...)
		}
		for _, s := range slots {
			out[c.Entry.Name] = append(out[c.Entry.Name], s.Endings()...)
		}
	}
	return out
})

// EndingKnown reports whether a path ends as the files of some command do.
func EndingKnown(path string) bool {
	for _, list := range endings() {
		if EndsIn(path, list) {
			return true
		}
	}
	return false
}

// EndsIn reports whether a path ends in one of the endings, in capitals or not.
func EndsIn(path string, endings []string) bool {
	return slices.ContainsFunc(endings, func(e string) bool {
		return len(path) >= len(e) && strings.EqualFold(path[len(path)-len(e):], e)
	})
}

// FitsEnding reports whether a command may name a file so: its ending is one of the command's
// own, or no command's.
func FitsEnding(e *Entry, path string) bool {
	own := endings()[e.Name]
	return len(own) == 0 || EndsIn(path, own) || !EndingKnown(path)
}

// ReadsFirst reports whether a command's first words are followed by a file that it reads, and
// by nothing else that has to be there.
func ReadsFirst(e *Entry) bool {
	for _, c := range Standard().Commands() {
		if c.Entry == e {
			own, _ := pattern.Slots(c.Nodes)
			return len(own) == 1 && own[0].Kind == "file" && !own[0].Written()
		}
	}
	return false
}
