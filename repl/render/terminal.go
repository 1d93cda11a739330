package render

import (
	"bufio"
	"io"
	"slices"
	"strings"

	"breakbook/models/parallel"
	"breakbook/repl/page"
)

// indent sets everything under the findings off from them.
const indent = "  "

// Colours are few and read on dark and on light screens: weight, faintness,
// magenta for a caution and red for a failure.
const (
	bold    = "\x1b[1m"
	faint   = "\x1b[2m"
	caution = "\x1b[1;35m"
	failure = "\x1b[1;31m"
	plain   = "\x1b[0m"
)

// paint colours each line of text by itself, so that a pager may cut between them.
func (o Options) paint(colour, text string) string {
	if !o.Color || text == "" {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if line != "" {
			lines[i] = colour + line + plain
		}
	}
	return strings.Join(lines, "\n")
}

// Terminal writes an entry for a screen: a result in at most a screen's lines, with the line that
// shows it whole; any other entry, and a result shown whole, with findings, the main one first, then who
// took part, tables, single figures, cautions and the files drawn; but where that is taller than a screen,
// with a line for each caution, and with the first rows of what stands in a file. An entry that
// failed is written as Problem writes it. Errors are w's, or the cause of the end of o.Context.
func Terminal(w io.Writer, e page.Entry, o Options) (err error) {
	defer parallel.Catch(&err)
	b := bufio.NewWriter(w)
	if e.Problem != nil {
		b.WriteString(Problem(e, o))
		return b.Flush()
	}
	var blocks []string
	if e.Name != "" && !e.Whole {
		blocks = short(e, o)
	} else {
		blocks = whole(e, o)
	}
	blocks = slices.DeleteFunc(blocks, func(s string) bool { return s == "" })
	for i, block := range blocks {
		if i > 0 {
			b.WriteString("\n")
		}
		for n, line := range strings.SplitAfter(block, "\n") {
			o.look(n)
			b.WriteString(soft(line))
		}
	}
	return b.Flush()
}

// whole are the blocks of an entry with everything it has.
func whole(e page.Entry, o Options) []string {
	blocks := []string{prose(e, o), findings(e, o), tookPart(e, o)}
	if e.Sketch != nil {
		blocks = append(blocks, sketch(*e.Sketch, o))
	}
	cut := -1 // the table whose first rows stand for it
	for i, t := range e.Tables {
		if t.Rest != "" && !e.Whole {
			cut, blocks = i, append(blocks, "")
			continue
		}
		blocks = append(blocks, tableText(t, e.Whole, o))
	}
	blocks = append(blocks, values(e.Values, o))
	tall, warnings := 0, cautions(e, false, o)
	for _, b := range append(blocks, warnings, figurePaths(e, o), nextLines(e, o)) {
		tall += height(b)
	}
	if cut >= 0 {
		t := o.brief(e.Tables[cut])
		text := t.text(max(o.lines()-tall, t.least()), clean(e.Tables[cut].Rest), o)
		blocks[len(blocks)-1-len(e.Tables)+cut] = text
		tall += height(text)
	}
	if tall > o.lines()+1 && !e.Whole { // one is counted before the first block
		warnings = cautions(e, true, o)
	}
	return append(blocks, warnings, figurePaths(e, o), nextLines(e, o))
}

func prose(e page.Entry, o Options) string {
	if e.Prose == "" {
		return ""
	}
	text := paragraph("", "", clean(e.Prose), o.width())
	if e.Kind == "heading" {
		return o.paint(bold, text)
	}
	return text
}

// findings sets the first finding apart from the others.
func findings(e page.Entry, o Options) string {
	var b strings.Builder
	for i, f := range e.Findings {
		text := paragraph("", "", sentence(f, o), o.width())
		switch i {
		case 0:
			text = o.paint(bold, text)
		case 1:
			b.WriteString("\n")
		}
		b.WriteString(text)
	}
	return b.String()
}

func tookPart(e page.Entry, o Options) string {
	whole := ""
	if !e.Whole {
		whole = " (whole: show " + clean(e.Name) + ")"
	}
	text := whoTookPart(e, whole)
	if text == "" {
		return ""
	}
	return o.paint(faint, paragraph(indent, indent, text, o.width()))
}

// whoTookPart says under which name a result is kept, with what is to follow the name, and how many specimens it
// rests on.
func whoTookPart(e page.Entry, after string) string {
	var parts []string
	if e.Name != "" {
		parts = append(parts, "Saved as "+clean(e.Name)+after)
	}
	if s := e.Specimens; s != nil {
		text := counted(s.Used, "specimen", "specimens")
		if e.Series != "" {
			text += " of " + clean(e.Series)
		}
		if s.SetAside > 0 {
			text += ", " + fixed(float64(s.SetAside), 0) + " set aside"
		}
		if s.Missing > 0 {
			text += ", " + fixed(float64(s.Missing), 0) + " left out for a missing value"
		}
		parts = append(parts, text)
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, "; ") + "."
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fixed(float64(n), 0) + " " + many
}

// cautions writes each new caution once, in a line of its own where it is to be brief, and those told before by
// their numbers.
func cautions(e page.Entry, brief bool, o Options) string {
	var b strings.Builder
	full, again := numberedCautions(e, o)
	for _, c := range full {
		text := paragraph(c.Head+": ", indent, c.Text, o.width())
		_, number, numbered := strings.Cut(c.Head, " ")
		if brief && numbered && screenWidth(c.Head+": "+c.Text) > o.width() {
			end := " (show caution " + number + ")"
			text = wrap(c.Head+": "+c.Text, o.width()-screenWidth(end)-1)[0] + "…" + end + "\n"
		}
		b.WriteString(o.paint(caution, c.Head+":") + strings.TrimPrefix(text, c.Head+":"))
	}
	if again != "" {
		b.WriteString(o.paint(faint, paragraph("", indent, again, o.width())))
	}
	return b.String()
}

func figurePaths(e page.Entry, o Options) string {
	var b strings.Builder
	for _, f := range e.Figures {
		if f.Path != "" {
			b.WriteString(o.paint(faint, paragraph("Drawn: ", indent, clean(f.Path), o.width())))
		}
	}
	return b.String()
}
