package say

import (
	"strconv"
	"strings"
)

// mostNamed is how many things a list names.
const mostNamed = 12

// Listed names a few things, and says how many more there are.
func Listed(names []string) string {
	if len(names) > mostNamed+1 {
		return strings.Join(names[:mostNamed], ", ") + " and " + strconv.Itoa(len(names)-mostNamed) + " more"
	}
	return strings.Join(names, ", ")
}

// ShortList names a few things and says that there are more.
func ShortList(names []string) string {
	if len(names) > mostNamed {
		return strings.Join(names[:mostNamed], ", ") + " and more"
	}
	return strings.Join(names, ", ")
}

// Plural is the word for one thing, or that for any other number of them.
func Plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// pluralOf has the plurals of the English words that columns of blocks are headed with.
var pluralOf = map[string]string{
	"batch": "batches", "beam": "beams", "board": "boards", "day": "days", "lamella": "lamellas", "lot": "lots",
	"plank": "planks", "session": "sessions", "stick": "sticks",
}

// Several names several blocks of a column: "boards", or "values of rack_no".
func Several(column string) string {
	if many, ok := pluralOf[column]; ok {
		return many
	}
	return "values of " + column
}
