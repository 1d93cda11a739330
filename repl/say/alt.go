package say

import (
	"unicode"
	"unicode/utf8"
)

// LevelMean is one level of a picture.
type LevelMean struct {
	Level string
	N     int
	Mean  float64
}

// Capital is words with their first letter large, as titles and labels begin.
func Capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	return string(unicode.ToUpper(first)) + words[size:]
}
