package say

import "strconv"

// Unbroken says of specimens that did not break that how they would fail is not known.
func Unbroken(n int) string {
	return strconv.Itoa(n) + Plural(n, " specimen", " specimens") + " did not break, and nothing is known of how " +
		Plural(n, "it", "they") + " would: "
}
