package plans

import (
	"reflect"
	"testing"

	"breakbook/repl/page"
)

// TestShareSizesHaveTheKeysOfSizes holds the sizes of a plan for a share to those of one for
// means: the contract knows one table for both.
func TestShareSizesHaveTheKeysOfSizes(t *testing.T) {
	sizes, shares := page.Fields(reflect.TypeFor[sizeRow]()), page.Fields(reflect.TypeFor[shareSizeRow]())
	if len(sizes) != len(shares) {
		t.Fatalf("%d keys and %d", len(sizes), len(shares))
	}
	for i, f := range sizes {
		if s := shares[i]; f.ID != s.ID || f.Type != s.Type || f.Maybe != s.Maybe {
			t.Errorf("%+v and %+v", f, s)
		}
	}
}
