package render

import (
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// leastRows is how many rows of its table a result shows before findings get the room; leastSecond of one
// whose findings say all.
const (
	leastRows   = 4
	leastSecond = 1
)

// short are the blocks of a result as a screen shows it first: its findings with their doubts, who took
// part, the table that one reads, the cautions that are new in a line each, and what to type next.
// What has no room is counted, with the line that shows it.
func short(e page.Entry, o Options) []string {
	whole := "show " + clean(e.Name)
	took, warnings, next := tookPart(e, o), cautions(e, true, o), nextLines(e, o)
	room := o.lines()
	for _, block := range []string{took, warnings, next, figurePaths(e, o)} {
		room -= height(block)
	}
	table, has := mainTable(e.Tables)
	laid := brief{}
	if has {
		laid = o.brief(table)
		room-- // between the findings and the table
	}
	findings := room
	if !table.Second {
		findings -= laid.least()
	}
	found := o.briefFindings(e, findings, whole)
	blocks := []string{found, took}
	if room -= lines(found); has && room < laid.least() { // a doubt took its room
		laid.first = leastSecond
	}
	if has && room >= laid.least() {
		blocks = append(blocks, laid.text(room, whole, o))
	}
	if !has {
		blocks = append(blocks, values(e.Values, o))
	}
	return append(blocks, warnings, figurePaths(e, o), next)
}

// lines is how many lines a text takes; height is the same with the empty line before it.
func lines(text string) int { return strings.Count(text, "\n") }

func height(text string) int {
	if text == "" {
		return 0
	}
	return lines(text) + 1
}

// mainTable is the table that one reads: the first with answers, else the first.
func mainTable(all []page.Table) (page.Table, bool) {
	answered := slices.IndexFunc(all, func(t page.Table) bool {
		return slices.ContainsFunc(t.Columns, func(c page.Column) bool { return c.ID == "answer" })
	})
	switch {
	case answered >= 0:
		return all[answered], true
	case len(all) > 0:
		return all[0], true
	}
	return page.Table{}, false
}

// briefFindings are the findings that there is room for; the first always, with the worst doubt of it.
func (o Options) briefFindings(e page.Entry, room int, whole string) string {
	var b strings.Builder
	for i, f := range e.Findings {
		text := paragraph("", "", sentence(f, o), o.width())
		more := len(e.Findings) - i - 1
		needs := lines(text)
		if more > 0 {
			needs++ // to say that there are more
		}
		if i == 1 {
			needs++ // the empty line after the first
		}
		doubted := i == 1 && len(e.Doubts) > 0 && strings.HasPrefix(text, "In doubt: ")
		if i > 0 && !doubted && lines(b.String())+needs > room {
			left := counted(more+1, "more finding", "more findings")
			return b.String() + o.paint(faint, paragraph("", "", "… "+left+": "+whole, o.width()))
		}
		if i == 0 {
			text = o.paint(bold, text)
		}
		if i == 1 {
			b.WriteString("\n")
		}
		b.WriteString(text)
	}
	return b.String()
}

// brief is a table for the screen without a note and without what is too wide.
type brief struct {
	title  string
	head   string
	rows   []string // a row may take several lines
	height []int
	first  int // rows that are shown before findings get the room
}

// brief lays a table out with the columns that stand beside each other on the screen.
func (o Options) brief(t page.Table) brief {
	s, _ := onScreen(t, o)
	out := brief{first: leastRows}
	if t.Second {
		out.first = leastSecond
	}
	if s.title != "" {
		out.title = paragraph(indent, indent, s.title, o.width())
	}
	groups := split(s, o.width()-len(indent), o)
	if len(groups) == 0 {
		return out
	}
	rest := strings.SplitAfter(set(s, groups[0], o), "\n")
	under := slices.IndexFunc(rest, func(line string) bool { return strings.Contains(line, "─") })
	out.head, rest = strings.Join(rest[:under+1], ""), rest[under+1:]
	for _, row := range s.rows {
		n := 1
		for _, c := range groups[0] {
			n = max(n, lines(row[c])+1)
		}
		out.rows, rest = append(out.rows, strings.Join(rest[:n], "")), rest[n:]
		out.height = append(out.height, n)
	}
	return out
}

// least is how many lines the table takes at least.
func (b brief) least() int {
	n := lines(b.title) + lines(b.head)
	if b.head == "" {
		return 0
	}
	for i, h := range b.height {
		if i < b.first {
			n += h
		}
	}
	if len(b.rows) > b.first {
		n++ // to say that there are more
	}
	return n + 1
}

// text is the table in so many lines.
func (b brief) text(room int, whole string, o Options) string {
	out := b.title + b.head
	room -= lines(out) + 1
	for i, row := range b.rows {
		rest := 0
		for _, h := range b.height[i:] {
			rest += h
		}
		if rest > room && b.height[i]+1 > room {
			left := counted(len(b.rows)-i, "more row", "more rows")
			return out + o.paint(faint, paragraph(indent, indent, "… "+left+": "+whole, o.width()))
		}
		out += row
		room -= b.height[i]
	}
	return out
}

// nextLines are the lines to type next.
func nextLines(e page.Entry, o Options) string {
	if len(e.Next) == 0 {
		return ""
	}
	return paragraph("Next: ", indent, strings.Join(lists.Mapped(e.Next, clean), "; "), o.width())
}
