package render

import (
	"strings"

	"breakbook/repl/page"
)

// Problem writes why an entry failed: the message, the line as typed with a caret
// under the place, and the hint on its own line. It is empty for an entry that
// worked. Places are characters of the input; the caret is set by their width on screen.
func Problem(e page.Entry, o Options) string {
	p := e.Problem
	if p == nil {
		return ""
	}
	lead := ""
	if e.Number > 0 {
		lead = "Entry " + fixed(float64(e.Number), 0) + ": "
	}
	var b strings.Builder
	b.WriteString(o.paint(failure, paragraph("", indent, lead+clean(shortened(p.Message)), o.width())))
	if p.At > 0 && e.Input != "" {
		line, caret := pointAt([]rune(e.Input), p.At-1, o.width()-len(indent))
		line = clean(line)
		b.WriteString(indent + line + "\n" + indent + o.paint(bold, strings.Repeat(" ", caret)+"^") + "\n")
	}
	if p.Hint != "" {
		b.WriteString(paragraph(indent, indent, clean(shortened(p.Hint)), o.width()))
	}
	return soft(b.String())
}

// pointAt cuts a line to width around a place and says how far right the place is then. Only
// what can be near the place is looked at, however long the line is.
func pointAt(line []rune, at, width int) (string, int) {
	at = min(at, len(line))
	width = max(width, 4)
	near := 4 * width // some characters take no room
	start, end := max(0, at-near), min(len(line), at+near)
	right := make([]int, 0, end-start+1) // the width from start on
	total := 0
	for _, r := range line[start:end] {
		right = append(right, total)
		total += screenWidth(string(r))
	}
	right = append(right, total)
	first, place := 0, at-start
	from := func(i int) int { return total - right[i] }
	for first < place && right[place]-right[first] > width*2/3 && (end < len(line) || from(first) > width-1) {
		first++
	}
	lead, room := "", width
	if start+first > 0 {
		lead, room = "…", width-1
	}
	last, tail := end-start, ""
	if end < len(line) {
		tail = "…"
	}
	for last > place+1 && right[last]-right[first]+len([]rune(tail)) > room {
		last--
		tail = "…"
	}
	text := string(line[start+first : start+last])
	return lead + text + tail, screenWidth(lead + string(line[start+first:at]))
}

// most is how many characters of a message or a hint are shown: what was typed can be long.
const most = 1200

// shortened is a text with its middle left out where it is longer than a screen holds.
func shortened(text string) string {
	if len(text) <= most {
		return text
	}
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	return string(runes[:most*3/4]) + " … " + string(runes[len(runes)-most/4:])
}

// Echo is a line as it is shown where it was not typed: broken between words, and a word that
// is wider than the screen within it.
func Echo(line string, width int) string {
	var out []string
	for _, part := range strings.Split(line, "\n") {
		for _, l := range wrap(part, width) {
			out = append(out, broken(l, width)...)
		}
	}
	return strings.Join(out, "\n")
}

// broken is a line in pieces no wider than width.
func broken(line string, width int) []string {
	if len(line) <= width {
		return []string{line}
	}
	var out []string
	from, w := 0, 0
	for i, r := range line {
		own := screenWidth(string(r))
		if w+own > width && i > from {
			out = append(out, line[from:i])
			from, w = i, 0
		}
		w += own
	}
	return append(out, line[from:])
}
