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
	b.WriteString(o.paint(failure, paragraph("", indent, lead+clean(p.Message), o.width())))
	if p.At > 0 && e.Input != "" {
		line, caret := pointAt([]rune(clean(e.Input)), p.At-1, o.width()-len(indent))
		b.WriteString(indent + line + "\n" + indent + o.paint(bold, strings.Repeat(" ", caret)+"^") + "\n")
	}
	if p.Hint != "" {
		b.WriteString(paragraph(indent, indent, clean(p.Hint), o.width()))
	}
	return soft(b.String())
}

// pointAt cuts a line to width around a place and says how far right the place is then.
func pointAt(line []rune, at, width int) (string, int) {
	at = min(at, len(line))
	start, end := 0, len(line)
	for start < at && screenWidth(string(line[start:at])) > width*2/3 && screenWidth(string(line[start:])) > width-1 {
		start++
	}
	lead := ""
	if start > 0 {
		lead = "…"
	}
	tail := ""
	for end > at+1 && screenWidth(lead+string(line[start:end])+tail) > width {
		end--
		tail = "…"
	}
	return lead + string(line[start:end]) + tail, screenWidth(lead + string(line[start:at]))
}
