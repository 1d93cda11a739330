package help

import (
	"slices"
	"testing"

	"breakbook/repl/phrase"
)

// Every command stands on a page of the help, and every page names commands that there are.
func TestEveryCommandHasATopic(t *testing.T) {
	var on []string
	for _, topic := range Topics {
		_, list, ok := OnTopic(topic.Name, nil)
		if !ok || len(list) != len(topic.Commands) {
			t.Errorf("%s: %d commands are found of %d", topic.Name, len(list), len(topic.Commands))
		}
		on = append(on, topic.Commands...)
	}
	for _, topic := range Topics {
		if list, err := Lookup(topic.Name, nil); err == nil {
			t.Errorf("the topic %s hides the help on %s", topic.Name, list[0].Name)
		}
	}
	for _, e := range phrase.Table {
		if !slices.Contains(on, e.Name) {
			t.Errorf("%s is on no page of the help", e.Name)
		}
	}
}
