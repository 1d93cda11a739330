package say

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
