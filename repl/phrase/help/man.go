package help

import (
	"strings"

	"breakbook/repl/phrase"
)

// Man is the manual page of the program in roff, made from the phrase table, Calls and Flags.
func Man() string {
	var b strings.Builder
	b.WriteString(".TH BREAKBOOK 1\n.SH NAME\nbreakbook \\- a bench notebook for break tests of wooden joints\n.SH " +
		"SYNOPSIS\n")
	for _, c := range Calls {
		b.WriteString(".br\n.B breakbook\n")
		if s := strings.TrimSpace(c.Word + " " + c.Args); s != "" {
			b.WriteString(roff(s) + "\n")
		}
	}
	b.WriteString(".SH DESCRIPTION\nOpens the test results of a series as CSV, fits what drove the breaking load, " +
		"draws it, and keeps the commands as a book that can be run again.\n.SH CALLS\n")
	for _, c := range Calls {
		roffItem(&b, strings.TrimSpace("breakbook "+c.Word+" "+c.Args), c.Help)
	}
	b.WriteString(".SH OPTIONS\n")
	for _, f := range Flags {
		roffItem(&b, strings.TrimSpace("--"+f.Name+" "+f.Arg), f.Help)
	}
	manCommands(&b)
	b.WriteString(".SH ENVIRONMENT\n")
	for _, s := range [][2]string{{"NO_COLOR", "set to anything: no colours"},
		{"PAGER", "the program that shows at the prompt what is taller than the terminal; without it, pages do"}} {
		roffItem(&b, s[0], s[1])
	}
	b.WriteString(".SH EXIT STATUS\n")
	for _, s := range [][2]string{{"0", "every entry worked"}, {"1", "one failed"}, {"2", "the call itself was wrong"},
		{"130", "interrupted"}} {
		roffItem(&b, s[0], s[1])
	}
	return b.String()
}

// manCommands writes a section a group, a paragraph a command.
func manCommands(b *strings.Builder) {
	entries, err := Lookup("", nil)
	if err != nil {
		return
	}
	var group phrase.Group
	for _, h := range entries {
		if h.Group != group {
			group = h.Group
			b.WriteString(".SH " + strings.ToUpper(roff(string(group))) + "\n")
		}
		head := h.Phrase
		if group == Notions {
			head = h.Name
		}
		roffItem(b, head, h.Text)
		if len(h.Options) > 0 {
			b.WriteString(".br\nmay follow: " + roff(strings.Join(h.Options, "; ")) + "\n")
		}
		if h.Example != "" {
			b.WriteString(".br\nexample:\n.I \"" + strings.ReplaceAll(roff(h.Example), `"`, `""`) + "\"\n")
		}
	}
}

func roffItem(b *strings.Builder, head, text string) {
	b.WriteString(".TP\n.B \"" + strings.ReplaceAll(roff(head), `"`, `""`) + "\"\n" + roff(text) + "\n")
}

// roff escapes text: backslashes, hyphens, and a dot or quote that would start a request.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`, "…", "...").Replace(s)
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, ".") || strings.HasPrefix(l, "'") {
			lines[i] = `\&` + l
		}
	}
	return strings.Join(lines, "\n")
}
