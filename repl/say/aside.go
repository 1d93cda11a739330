package say

import (
	"strings"

	"breakbook/repl/page"
)

// BackChanges says that the main answer would be another with specimens back.
func BackChanges(names []string, told page.Sentence) page.Sentence {
	s := page.Say(setAside(names) + ", and the main answer hangs on that. With " + plural(len(names), "it", "them all") + " back: ")
	return append(s, told...)
}

// BackFails says that the analysis cannot be done with specimens back.
func BackFails(names []string, why string) page.Sentence {
	return page.Say(setAside(names) + "; with " + plural(len(names), "it", "them all") + " back this cannot be worked out: " + why + ".")
}

func setAside(names []string) string {
	return plural(len(names), "Specimen ", "Specimens ") + strings.Join(names, ", ") + plural(len(names), " is", " are") + " set aside"
}
