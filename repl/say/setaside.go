package say

import "breakbook/repl/page"

// SetAside tells which specimens no longer take part, and why.
func SetAside(names []string, reason string, left, all int) page.Sentence {
	return page.Say(len(names), plural(len(names), " specimen is", " specimens are")+" set aside (“"+reason+"”): "+shortList(names)+"; ",
		left, " of ", all, " take part.")
}

// AsideBefore counts those that were set aside already.
func AsideBefore(n int) page.Sentence {
	return page.Say(n, plural(n, " was", " were")+" set aside before and "+plural(n, "keeps its", "keep their")+" reason.")
}

// BroughtBack tells which specimens take part again.
func BroughtBack(names []string, left, all int) page.Sentence {
	return page.Say(len(names), plural(len(names), " specimen takes", " specimens take")+" part again: "+shortList(names)+"; ",
		left, " of ", all, " now do.")
}

// Aside counts what is set aside in a series.
func Aside(series string, aside, all int) page.Sentence {
	if aside == 0 {
		return page.Say("No specimen of " + series + " is set aside.")
	}
	return page.Say(aside, " of ", all, " specimens of "+series+plural(aside, " is", " are")+" set aside.")
}
