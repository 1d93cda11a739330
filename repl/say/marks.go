package say

import (
	"breakbook/repl/page"
)

// BarsNote says what the marks with bars are, such as "effect" or "share".
func BarsNote(what string, conf float64) page.Sentence {
	return page.Say("Mark: the "+what+"; bar: its ", page.Share(conf), " interval")
}
