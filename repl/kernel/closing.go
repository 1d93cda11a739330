package kernel

import (
	"slices"
	"strings"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// closeSeries puts a series away. Results made on it go with it: nothing could be asked
// of them any more.
func closeSeries(k *call, cmd *phrase.Close) (*Session, error) {
	name := cmd.Series.Text
	n := k.s.clone()
	n.closed = append(slices.Clip(n.closed), k.s.sourcesOf(name)...)
	n.opened = slices.DeleteFunc(n.opened, func(o opened) bool { return o.name == name })
	var gone []string
	n.results = slices.DeleteFunc(n.results, func(r result) bool {
		if r.series == name {
			gone = append(gone, r.name)
		}
		return r.series == name
	})
	if n.current == name {
		n.current = ""
		if last := len(n.opened) - 1; last >= 0 {
			n.current = n.opened[last].name
		}
	}
	said := page.Say(name + " is closed")
	if len(gone) > 0 {
		said = append(said, page.Word(", and with it what was made on it: "+strings.Join(gone, ", ")))
	}
	said = append(said, page.Word(". "))
	switch {
	case n.current == "":
		said = append(said, page.Word("No series is open now."))
	case n.current != k.s.current:
		said = append(said, page.Word("Now working on "+n.current+"."))
	default:
		said = append(said, page.Word("Still working on "+n.current+"."))
	}
	k.e.Findings = []page.Sentence{said}
	return n, nil
}

// forget drops a result.
func forget(k *call, cmd *phrase.Forget) (*Session, error) {
	name := cmd.Result.Text
	n := k.s.clone()
	n.results = slices.DeleteFunc(n.results, func(r result) bool { return r.name == name })
	k.e.Findings = []page.Sentence{page.Say(name + " is forgotten; its name is free again.")}
	return n, nil
}
