package scan

import "unicode"

// Match reports how far the name reaches when it is read at in[i]: without
// case, a blank or `_` of the name standing for one `_` or any run of blanks.
// It is -1 where the name does not stand there.
func Match(in []rune, i int, name string) int {
	for _, r := range name {
		switch {
		case i >= len(in):
			return -1
		case r == '_' || unicode.IsSpace(r):
			switch {
			case in[i] == '_':
				i++
			case unicode.IsSpace(in[i]):
				for i < len(in) && unicode.IsSpace(in[i]) {
					i++
				}
			default:
				return -1
			}
		case in[i] == r || unicode.ToLower(in[i]) == unicode.ToLower(r):
			i++
		default:
			return -1
		}
	}
	return i
}

// Same compares a quoted text with a name.
func Same(text, name string) bool {
	in := []rune(text)
	return len(in) > 0 && Match(in, 0, name) == len(in)
}
