package session

import (
	"testing"

	"breakbook/frames/functions"
)

// TestTermsKnowEveryFunction holds the functions of terms to the one table of functions.
func TestTermsKnowEveryFunction(t *testing.T) {
	for _, name := range functions.OfColumns() {
		if designFunctions[name] == 0 {
			t.Errorf("a term does not know %s", name)
		}
	}
	if got := len(functions.OfColumns()) + 1; got != len(designFunctions) {
		t.Errorf("terms know %d functions, the table has %d", len(designFunctions), got)
	}
}
