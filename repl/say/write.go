package say

import (
	"breakbook/repl/page"
)

// KeptBefore tells where the old contents of a file are.
func KeptBefore(file, before string) page.Sentence {
	return page.Say("The old " + file + " is kept as " + before + ".")
}
