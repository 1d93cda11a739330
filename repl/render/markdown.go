package render

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"breakbook/models/parallel"
	"breakbook/repl/page"
)

// Markdown writes an entry as Markdown with pipe tables; a heading can be led to as entry-N
// (none for number 0). pictures[i] is the address
// of the picture of e.Figures[i]; a figure without one is left out. Everything that
// came from a file or a command is escaped. Errors are w's, or the cause of o.Context's end.
func Markdown(w io.Writer, e page.Entry, pictures []string, o Options) (err error) {
	defer parallel.Catch(&err)
	b := bufio.NewWriter(w)
	switch {
	case e.Kind == "heading" && e.Prose != "":
		if e.Number != 0 { // what a table of contents leads to
			fmt.Fprintf(b, "<a id=\"entry-%d\"></a>\n\n", e.Number)
		}
		fmt.Fprintf(b, "## %s\n\n", mark(clean(e.Prose)))
		return b.Flush()
	case e.Prose != "":
		fmt.Fprintf(b, "%s\n\n", mark(clean(e.Prose)))
		return b.Flush()
	}
	markCommand(b, e)
	if p := e.Problem; p != nil {
		fmt.Fprintf(b, "%s\n\n", mark(problemText(p)))
		return b.Flush()
	}
	for i, f := range e.Findings {
		text := mark(sentence(f, o))
		if i == 0 {
			text = "**" + text + "**"
		}
		fmt.Fprintf(b, "%s\n\n", text)
	}
	if who := whoTookPart(e); who != "" {
		fmt.Fprintf(b, "%s\n\n", mark(who))
	}
	if e.Sketch != nil {
		fmt.Fprintf(b, "```text\n%s```\n\n", sketchForPage(*e.Sketch, o))
	}
	for _, t := range e.Tables {
		markTable(b, layOut(t, o), o)
	}
	if len(e.Values) > 0 {
		for _, v := range e.Values {
			label, text := valueTexts(v, o)
			fmt.Fprintf(b, "- %s: %s\n", mark(label), mark(text))
		}
		b.WriteString("\n")
	}
	told, again := numberedCautions(e, o)
	for _, c := range told {
		fmt.Fprintf(b, "%s: %s\n\n", c.Head, mark(c.Text))
	}
	if again != "" {
		fmt.Fprintf(b, "%s\n\n", again)
	}
	for i, f := range e.Figures {
		if i < len(pictures) && pictures[i] != "" {
			fmt.Fprintf(b, "![%s](<%s>)\n\n", mark(sentence(f.Alt, o)), address(pictures[i]))
		}
	}
	return b.Flush()
}

// markCommand writes the command as typed in a fence longer than any in it.
func markCommand(b *bufio.Writer, e page.Entry) {
	if e.Input == "" {
		return
	}
	fence := "```"
	for strings.Contains(e.Input, fence) {
		fence += "`"
	}
	fmt.Fprintf(b, "%s\n%s\n%s\n\n", fence, clean(e.Input), fence)
}

func markTable(b *bufio.Writer, s sheet, o Options) {
	if s.title != "" {
		fmt.Fprintf(b, "%s\n\n", mark(s.title))
	}
	if len(s.heads) > 0 {
		names, rules := make([]string, len(s.heads)), make([]string, len(s.heads))
		for c, h := range s.heads {
			names[c], rules[c] = mark(headText(h)), "---"
			if h.right {
				rules[c] = "--:"
			}
		}
		fmt.Fprintf(b, "| %s |\n| %s |\n", strings.Join(names, " | "), strings.Join(rules, " | "))
		for r, row := range s.rows {
			o.look(r)
			cells := make([]string, len(row))
			for c, text := range row {
				cells[c] = mark(strings.ReplaceAll(text, padding, ""))
			}
			fmt.Fprintf(b, "| %s |\n", strings.Join(cells, " | "))
		}
		b.WriteString("\n")
	}
	if s.note != "" {
		fmt.Fprintf(b, "%s\n\n", mark(s.note))
	}
}

func headText(h head) string {
	if h.unit == "" {
		return h.label
	}
	return h.label + " (" + h.unit + ")"
}

func problemText(p *page.Problem) string {
	text := "This did not work: " + clean(p.Message)
	if p.Hint != "" {
		text += " (" + clean(p.Hint) + ")"
	}
	return text
}

var markEscapes = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`,
	"<", `\<`, ">", `\>`, "#", `\#`, "|", `\|`, "~", `\~`, "$", `\$`, "!", `\!`, "&", `\&`)

// mark escapes what Markdown would read as a sign, at a line's start too.
func mark(text string) string {
	s := markEscapes.Replace(text)
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "+") || strings.HasPrefix(s, "=") {
		return `\` + s
	}
	if dot := strings.IndexAny(s, ".)"); dot > 0 && strings.Trim(s[:dot], "0123456789") == "" &&
		(dot+1 == len(s) || s[dot+1] == ' ') {
		return s[:dot] + `\` + s[dot:]
	}
	return s
}

// Escape is text as Markdown shows it unchanged.
func Escape(text string) string { return mark(clean(text)) }

// address is a path as it may stand between < and >.
func address(path string) string {
	var b strings.Builder
	for _, r := range path {
		switch {
		case r == '\\':
			b.WriteByte('/')
		case r == '<' || r == '>' || cleaned(r) != r:
			for _, c := range []byte(string(r)) {
				fmt.Fprintf(&b, "%%%02X", c)
			}
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
