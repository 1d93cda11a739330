package parser

import (
	"errors"
	"testing"

	"breakbook/repl/phrase"
)

// TestOldWordsNameTheNewOnes: a word the language once had is no second way; its error has the
// line put right.
func TestOldWordsNameTheNewOnes(t *testing.T) {
	for line, want := range map[string]struct {
		hint, message string
		at            int
	}{
		"work out x = least(load, 500 N)": {"Try: work out x = smallest(load, 500 N)", `"least" is now "smallest"`,
			14},
		"work out x = 2 * most(load, 500 N)": {"Try: work out x = 2 * largest(load, 500 N)",
			`"most" is now "largest"`, 18},
		"ranges 90%": {"Try: confidence 90%", `"ranges" is now "confidence"`, 1},
		"RANGES":     {"Try: confidence", `"ranges" is now "confidence"`, 1},
		"line up gates , old-2024 by board as both": {"Try: put gates beside old-2024 by board as both",
			`"line up A, B by COLUMN" is now "put A beside B by COLUMN"`, 1},
		"line up": {"write put SERIES beside SERIES by COLUMN as NAME",
			`"line up A, B by COLUMN" is now "put A beside B by COLUMN"`, 1},
		"mark specific gravity as found": {"Try: mark specific gravity as given", `"found" is now "given"`, 26},
	} {
		var e *phrase.Error
		if _, err := Parse(phrase.Piece{Text: line, At: 1}, newBench()); !errors.As(err, &e) ||
			e.Code != "outdated-word" ||
			e.Hint != want.hint || e.Message != want.message || e.At != want.at {
			t.Errorf("%s: %+v", line, e)
		}
	}
	for _, line := range []string{"confidence 90%", "mark specific gravity as given", "mark pins as result", "exit",
		"exit without saving", "work out x = smallest(load, 500 N)",
		"put old-2024 beside gates by dowels as both"} {
		if _, err := Parse(phrase.Piece{Text: line, At: 1}, newBench()); err != nil {
			t.Errorf("%s: %v", line, err)
		}
	}
}
