package render

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
)

// Markdown writes an entry as Markdown with pipe tables; it can be led to as entry-N (not with number 0). Everything
// that came from a file or a command is escaped. Errors are w's, or the cause of o.Context's end.
func Markdown(w io.Writer, e page.Entry, around Surroundings, o Options) (err error) {
	defer parallel.Catch(&err)
	b := bufio.NewWriter(w)
	if e.Number != 0 { // what contents and findings lead to
		fmt.Fprintf(b, "<a id=\"entry-%d\"></a>\n\n", e.Number)
	}
	switch {
	case e.Kind == "heading" && e.Prose != "":
		fmt.Fprintf(b, "%s %s\n\n", strings.Repeat("#", max(around.Level, 2)), mark(clean(e.Prose)))
		return b.Flush()
	case e.Prose != "":
		fmt.Fprintf(b, "%s\n\n", mark(clean(e.Prose)))
		return b.Flush()
	}
	if e.Input != "" {
		b.WriteString(Fenced(clean(e.Input)))
	}
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
	if who := whoTookPart(e, ""); who != "" {
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
	full, again := numberedCautions(e, o)
	for _, c := range full {
		fmt.Fprintf(b, "%s: %s\n\n", c.Head, mark(c.Text))
	}
	if again != "" {
		fmt.Fprintf(b, "%s\n\n", again)
	}
	for i, f := range e.Figures {
		if i < len(around.Pictures) && around.Pictures[i].Wide != "" {
			b.WriteString(MarkdownPicture(f, around.Pictures[i].Wide, o))
		}
	}
	for i, l := range around.Links {
		lead := ", "
		if i == 0 {
			lead = "See "
		}
		fmt.Fprintf(b, "%s[%s](#%s)", lead, mark(l.Text), l.To)
	}
	if len(around.Links) > 0 {
		b.WriteString("\n\n")
	}
	return b.Flush()
}

// MarkdownPicture shows a figure that lies at a path, with its words.
func MarkdownPicture(f page.Figure, path string, o Options) string {
	return fmt.Sprintf("![%s](<%s>)\n\n", mark(sentence(f.Alt, o)), address(path))
}

// Fenced is a text as it stands, in a fence longer than any in it.
func Fenced(text string) string {
	fence := "```"
	for strings.Contains(text, fence) {
		fence += "`"
	}
	return fence + "\n" + strings.TrimRight(text, "\n") + "\n" + fence + "\n\n"
}

func markTable(b *bufio.Writer, s sheet, o Options) {
	if s.title != "" {
		fmt.Fprintf(b, "%s\n\n", mark(s.title))
	}
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
		cells := lists.Mapped(row, func(text string) string { return mark(strings.ReplaceAll(text, padding, "")) })
		fmt.Fprintf(b, "| %s |\n", strings.Join(cells, " | "))
	}
	b.WriteString("\n")
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
