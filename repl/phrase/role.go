package phrase

import "slices"

// roleWords stand for the column marked so, where no column has that name.
var roleWords = []string{"load", "failure", "specimen", "block", "weight"}

// RoleWords are the words that stand for the column marked so.
func RoleWords() []string { return slices.Clone(roleWords) }
