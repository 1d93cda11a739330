package parser

import (
	"testing"

	"breakbook/repl/phrase"
	"breakbook/repl/phrase/pattern"
)

// Whatever type of slot a phrase of the table has, there is a way to read it and to say
// what is needed there.
func TestEverySlotOfTheTableIsRead(t *testing.T) {
	seen := 0
	check := func(nodes []pattern.Node) {
		own, maybe := pattern.Slots(nodes)
		for _, s := range append(own, maybe...) {
			seen++
			if is := slotTypes()[s.Kind]; is.read == nil || is.want == nil {
				t.Errorf("nothing reads the slot %s of type %s", s.Name, s.Kind)
			}
		}
	}
	for _, c := range phrase.Standard().Commands() {
		check(c.Nodes)
		for _, tail := range c.Tails {
			check(tail.Nodes)
		}
	}
	if seen < 100 {
		t.Errorf("%d slots seen", seen)
	}
}
