package say

import (
	"strings"

	"breakbook/repl/page"
)

// LevelFails says that a command could not be carried out for one level.
func LevelFails(column, level, why string) page.Sentence {
	return page.Say(column + " " + level + " is left out: " + why + ".")
}

// OfLevels leads a sentence that holds for some levels only.
func OfLevels(column string, levels []string) page.Sentence {
	return page.Say(column + " " + strings.Join(levels, ", ") + ": ")
}
