package render

import "strings"

// wrap breaks text at blanks so that no line is wider than width, except one that
// holds a single longer word: a word, a path or a number with its unit is never cut.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Split(text, " ") {
		if word == "" {
			continue
		}
		if line != "" && screenWidth(line)+1+screenWidth(word) > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// paragraph wraps text to width, the first line after first, the others after rest.
func paragraph(first, rest, text string, width int) string {
	lines := wrap(text, width-screenWidth(rest))
	if screenWidth(first) > screenWidth(rest) {
		// the first line has less room: what its lead takes is set aside as a word of its own
		lead := strings.Repeat("\ue000", screenWidth(first)-screenWidth(rest)-1)
		lines = wrap(lead+" "+text, width-screenWidth(rest))
		lines[0] = strings.TrimLeft(strings.TrimPrefix(lines[0], lead), " ")
	}
	return first + strings.Join(lines, "\n"+rest) + "\n"
}

// Wrapped is a paragraph of text for people, broken between words to a screen's width; 0: DefaultWidth.
func Wrapped(text string, width int) string {
	return paragraph("", "", clean(text), Options{Width: width}.width())
}
