package render

import (
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

const (
	gap        = 2  // blanks between two columns
	textColumn = 20 // a column of words is not made narrower than this
)

// tableText lays a table out for the screen. What is wider than the screen first
// has its columns of words wrapped, then loses the columns marked Wide (a whole result says
// which), and is then split, its first column repeated. Numbers are never cut.
func tableText(t page.Table, whole bool, o Options) string {
	s, dropped := onScreen(t, o)
	if len(dropped) > 0 {
		s.note = noteOf(s.note, dropped)
	}
	var b strings.Builder
	if s.title != "" {
		b.WriteString(paragraph(indent, indent, s.title, o.width()))
	}
	for i, group := range split(s, o.width()-len(indent), o) {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(set(s, group, o))
	}
	if s.note != "" {
		b.WriteString(o.paint(faint, paragraph(indent, indent, s.note, o.width())))
	}
	if len(dropped) > 0 && whole {
		text := "No room for the columns " + strings.Join(dropped, ", ") + "; a report has them all."
		if len(dropped) == 1 {
			text = "No room for the column " + dropped[0] + "; a report has it."
		}
		b.WriteString(o.paint(faint, paragraph(indent, indent, text, o.width())))
	}
	return b.String()
}

// onScreen lays a table out with the columns that stand beside each other on the screen, and names those that
// are left out.
func onScreen(t page.Table, o Options) (sheet, []string) {
	s := layOut(t, o)
	room := o.width() - len(indent)
	for i := range s.heads {
		s.heads[i].label = strings.Join(headLines(s, i, o), "\n")
	}
	fold(&s, room, o)
	dropped := dropWide(&s, room, o)
	if len(dropped) > 0 {
		fold(&s, room, o)
	}
	return s, dropped
}

// noteOf is a note without what it says of columns that are not shown: the parts "a and b: …"
// of it whose columns are all left out.
func noteOf(note string, dropped []string) string {
	gone := map[string]bool{}
	for _, label := range dropped {
		name, _, _ := strings.Cut(label, " (")
		gone[strings.ToLower(name)] = true
	}
	parts := strings.Split(note, "; ")
	parts = slices.DeleteFunc(parts, func(part string) bool {
		names, _, explains := strings.Cut(part, ": ")
		if !explains {
			return false
		}
		for name := range strings.SplitSeq(strings.ReplaceAll(names, " and ", ","), ",") {
			if !gone[strings.ToLower(strings.TrimSpace(name))] {
				return false
			}
		}
		return true
	})
	return strings.Join(parts, "; ")
}

// headLines breaks a head to about the width of what stands under it, its unit last.
func headLines(s sheet, c int, o Options) []string {
	under := 0
	for r, row := range s.rows {
		o.look(r)
		under = max(under, screenWidth(row[c]))
	}
	h := s.heads[c]
	lines := wrap(h.label, max(under, 8))
	if h.unit == "" {
		return lines
	}
	unit := "(" + h.unit + ")"
	if last := lines[len(lines)-1]; screenWidth(last)+1+screenWidth(unit) <= max(under, 8) {
		lines[len(lines)-1] = last + " " + unit
		return lines
	}
	return append(lines, unit)
}

// columnWidth is the widest line of a column, head included.
func columnWidth(s sheet, c int, o Options) int {
	w := widest(strings.Split(s.heads[c].label, "\n"))
	for r, row := range s.rows {
		o.look(r)
		w = max(w, widest(strings.Split(row[c], "\n")))
	}
	return w
}

func sheetWidth(s sheet, group []int, o Options) int {
	w := 0
	for _, c := range group {
		w += columnWidth(s, c, o) + gap
	}
	return max(0, w-gap)
}

// fold wraps columns of words, the widest first, until the sheet fits or all are narrow.
func fold(s *sheet, room int, o Options) {
	for sheetWidth(*s, lists.Indices(len(s.heads)), o) > room {
		over, at := sheetWidth(*s, lists.Indices(len(s.heads)), o)-room, -1
		for c, h := range s.heads {
			if w := columnWidth(*s, c, o); !h.right && w > textColumn && (at < 0 || w > columnWidth(*s, at, o)) {
				at = c
			}
		}
		if at < 0 {
			return
		}
		before := columnWidth(*s, at, o)
		to := max(textColumn, before-over)
		for r, row := range s.rows {
			o.look(r)
			row[at] = strings.Join(wrap(strings.ReplaceAll(row[at], "\n", " "), to), "\n")
		}
		if columnWidth(*s, at, o) >= before {
			return // a single long word
		}
	}
}

// dropWide takes columns marked Wide away from the right until the sheet fits and
// names them; a column of units goes with its numbers.
func dropWide(s *sheet, room int, o Options) []string {
	var dropped []string
	for c := len(s.heads) - 1; c > 0 && sheetWidth(*s, lists.Indices(len(s.heads)), o) > room; c-- {
		if !s.heads[c].wide || s.heads[c].units {
			continue
		}
		end := c + 1
		if end < len(s.heads) && s.heads[end].units && s.heads[end].wide {
			end++
		}
		dropped = append([]string{strings.ReplaceAll(s.heads[c].label, "\n", " ")}, dropped...)
		s.heads = append(s.heads[:c:c], s.heads[end:]...)
		for r, row := range s.rows {
			s.rows[r] = append(row[:c:c], row[end:]...)
		}
	}
	return dropped
}

// split deals the columns into groups that fit, each led by the first column.
func split(s sheet, room int, o Options) [][]int {
	if len(s.heads) == 0 {
		return nil
	}
	groups := [][]int{{0}}
	for c := 1; c < len(s.heads); c++ {
		last := groups[len(groups)-1]
		with := append(last[:len(last):len(last)], c)
		if sheetWidth(s, with, o) > room && len(last) > 1 && !s.heads[c].units {
			groups = append(groups, []int{0, c})
			continue
		}
		groups[len(groups)-1] = with
	}
	return groups
}

// set lays the columns of group out in our own quiet style: words over a thin rule, no boxes, no lines between columns.
func set(s sheet, group []int, o Options) string {
	widths, cells := make([]int, len(group)), make([][]string, len(group))
	var b strings.Builder
	// row writes a row as the lines that its cells have; those of a head stand at its foot.
	row := func(text func(c int) string, head bool) {
		high := 1
		for i, c := range group {
			cells[i] = strings.Split(text(c), "\n")
			high = max(high, len(cells[i]))
		}
		for at := range high {
			var line strings.Builder
			for i, c := range group {
				from := 0
				if head {
					from = high - len(cells[i])
				}
				cell := ""
				if k := at - from; k >= 0 && k < len(cells[i]) {
					cell = cells[i][k]
				}
				blank := strings.Repeat(" ", widths[i]-screenWidth(cell))
				line.WriteString(strings.Repeat(" ", gap))
				if s.heads[c].right {
					line.WriteString(blank + cell)
				} else {
					line.WriteString(cell + blank)
				}
			}
			done := strings.TrimRight(soft(line.String()), " ")
			if head {
				done = o.paint(faint, done)
			}
			b.WriteString(done + "\n")
		}
	}
	for i, c := range group {
		widths[i] = columnWidth(s, c, o)
	}
	row(func(c int) string { return s.heads[c].label }, true)
	b.WriteString(o.paint(faint, indent+strings.Repeat("─", sheetWidth(s, group, o))) + "\n")
	for r, texts := range s.rows {
		o.look(r)
		row(func(c int) string { return texts[c] }, false)
	}
	return b.String()
}
