package render

import (
	"math"
	"slices"
	"strings"

	"breakbook/repl/page"
)

// sheet is a table whose numbers are already text: what every medium lays out.
type sheet struct {
	title, note string
	heads       []head
	rows        [][]string
}

// head heads one column of a sheet. A column of units goes with the one before it.
type head struct {
	label, unit string
	right, wide bool
	units       bool
}

// layOut turns a table into a sheet, without the columns of numbers that have none. Where cells
// have units of their own, the units stand in a column behind the numbers they belong to.
func layOut(t page.Table, o Options) sheet {
	t, none := withoutEmpty(withoutTraces(t))
	s := sheet{title: sentence(t.Title, o), note: noteOf(sentence(t.Note, o), none),
		rows: make([][]string, len(t.Rows))}
	own := ownUnits(t)
	shared := sharedUnits(t, own)
	for c, col := range t.Columns {
		texts, numeric := columnTexts(t, c, o)
		h := head{label: columnLabel(col), unit: columnUnit(col), right: numeric, wide: col.Wide}
		if own[c] {
			h.unit = ""
		}
		o.look(0)
		s.add(h, texts)
		if own[c] && (!shared || c == lastTrue(own)) {
			h = head{units: true, wide: col.Wide && !shared}
			if shared {
				h.label = "unit"
			}
			s.add(h, unitTexts(t, c))
		}
	}
	return s
}

// withoutEmpty leaves out the columns of numbers worked out that have none, and names them.
func withoutEmpty(t page.Table) (page.Table, []string) {
	var order []int
	var none []string
	for c, col := range t.Columns {
		if c > 0 && !col.Given && numberStyle(col) && allMissing(t, c) {
			none = append(none, columnLabel(col))
		} else {
			order = append(order, c)
		}
	}
	if none == nil {
		return t, nil
	}
	return withColumns(t, order), none
}

// withoutTraces makes 0 of each number that is nothing but rounding beside the others of its row in the same unit, as
// the size of no difference is beside the ends of its interval.
func withoutTraces(t page.Table) page.Table {
	rows := t.Rows
	for r, row := range t.Rows {
		largest := map[string]float64{}
		for c, v := range row {
			if v.Kind == page.Number && t.Columns[c].Style == page.Plain && !math.IsInf(v.Num, 0) {
				u := cellUnit(v, t.Columns[c])
				largest[u] = max(largest[u], math.Abs(v.Num))
			}
		}
		for c, v := range row {
			if v.Kind == page.Number && t.Columns[c].Style == page.Plain && v.Num != 0 &&
				math.Abs(v.Num) <= traceOf*largest[cellUnit(v, t.Columns[c])] {
				if &rows[0] == &t.Rows[0] {
					rows = slices.Clone(t.Rows)
				}
				if &rows[r][0] == &row[0] {
					rows[r] = slices.Clone(row)
				}
				rows[r][c].Num = 0
			}
		}
	}
	t.Rows = rows
	return t
}

func (s *sheet) add(h head, texts []string) {
	s.heads = append(s.heads, h)
	for r := range s.rows {
		s.rows[r] = append(s.rows[r], texts[r])
	}
}

// cell is the cell of a row, an empty one where the row is short.
func cell(row []page.Cell, c int) page.Cell {
	if c >= len(row) {
		return page.Cell{}
	}
	return row[c]
}

// ownUnits marks the columns some number of which has another unit than the column's.
func ownUnits(t page.Table) []bool {
	own := make([]bool, len(t.Columns))
	for _, row := range t.Rows {
		for c, col := range t.Columns {
			v := cell(row, c)
			own[c] = own[c] || v.Kind == page.Number && v.Unit != "" && v.Unit != col.Unit
		}
	}
	return own
}

// sharedUnits reports whether in every row all columns with units of their own agree.
func sharedUnits(t page.Table, own []bool) bool {
	for _, row := range t.Rows {
		unit, seen := "", false
		for c, col := range t.Columns {
			v := cell(row, c)
			if !own[c] || v.Kind != page.Number {
				continue
			}
			u := cellUnit(v, col)
			if seen && u != unit {
				return false
			}
			unit, seen = u, true
		}
	}
	return true
}

// unitTexts is the column of units for column c; a row without a number there
// takes the unit of the row's other numbers that have one of their own.
func unitTexts(t page.Table, c int) []string {
	out := make([]string, len(t.Rows))
	for r, row := range t.Rows {
		for k := c; k >= 0 && out[r] == ""; k-- {
			if v := cell(row, k); v.Kind == page.Number && (k == c || v.Unit != "") {
				out[r] = tableUnit(cellUnit(v, t.Columns[k]))
			}
		}
	}
	return out
}

func cellUnit(v page.Cell, col page.Column) string {
	if v.Unit != "" {
		return v.Unit
	}
	return col.Unit
}

func lastTrue(marks []bool) int {
	last := -1
	for i, m := range marks {
		if m {
			last = i
		}
	}
	return last
}

// columnTexts shows the cells of column c and reports whether it holds numbers.
// Numbers of one unit share their decimals; all are aligned on the point.
func columnTexts(t page.Table, c int, o Options) (texts []string, numeric bool) {
	col := t.Columns[c]
	byUnit := map[string][]float64{}
	for r, row := range t.Rows {
		o.look(r)
		if v := cell(row, c); v.Kind == page.Number {
			byUnit[cellUnit(v, col)] = append(byUnit[cellUnit(v, col)], v.Num)
			numeric = true
		}
	}
	if col.Style == page.Exact {
		return exactTexts(t, c, o), numeric || allMissing(t, c)
	}
	formats := map[string]format{}
	for unit, xs := range byUnit {
		formats[unit] = common(xs, col.Style, o)
	}
	texts = aligned(t, c, o, func(v page.Cell) string { return formats[cellUnit(v, col)].text(v.Num) })
	return texts, numeric || allMissing(t, c) && numberStyle(col)
}

// aligned are the cells of column c, its numbers as show has them and their points under each other.
func aligned(t page.Table, c int, o Options, show func(page.Cell) string) []string {
	texts := make([]string, len(t.Rows))
	var numbers []string
	var where []int
	for r, row := range t.Rows {
		o.look(r)
		switch v := cell(row, c); {
		case v.Kind == page.Number:
			numbers, where = append(numbers, show(v)), append(where, r)
		case v.Kind == page.Text && t.Columns[c].ID == "unit":
			texts[r] = Unit(v.Text)
		default:
			texts[r] = plainCell(v)
		}
	}
	alignPoints(numbers)
	for i, r := range where {
		texts[r] = numbers[i]
	}
	return texts
}

// allMissing reports that nothing is known in column c, and that it has rows.
func allMissing(t page.Table, c int) bool {
	return len(t.Rows) > 0 && !slices.ContainsFunc(t.Rows, func(row []page.Cell) bool {
		return cell(row, c).Kind != page.Empty
	})
}

func numberStyle(col page.Column) bool { return col.Style != page.Plain || col.Unit != "" }

func plainCell(v page.Cell) string {
	switch v.Kind {
	case page.Text:
		if v.Doubt != "" {
			return clean(v.Text + " (in doubt: " + v.Doubt + ")")
		}
		return clean(v.Text)
	case page.Truth:
		return yesNo(v.Num)
	}
	return missing
}

func yesNo(truth float64) string {
	if truth == 1 {
		return "yes"
	}
	return "no"
}

func columnLabel(c page.Column) string { return labelOr(c.Label, c.ID) }

// labelOr is the label, or the id with blanks for its underscores.
func labelOr(label, id string) string {
	if label != "" {
		return clean(label)
	}
	return clean(strings.ReplaceAll(id, "_", " "))
}

func columnUnit(c page.Column) string {
	if c.Style == page.Fraction || c.Style == page.Percent {
		return "%"
	}
	return tableUnit(c.Unit)
}

// valueTexts are the name and the text of a figure that belongs to the whole result.
func valueTexts(v page.Value, o Options) (label, text string) {
	label = labelOr(v.Label, v.ID)
	switch v.Cell.Kind {
	case page.Number:
		unit := v.Unit
		if v.Cell.Unit != "" {
			unit = v.Cell.Unit
		}
		return label, number(v.Cell.Num, unit, v.Style, 0, o)
	case page.Text:
		return label, clean(v.Cell.Text)
	case page.Truth:
		return label, yesNo(v.Cell.Num)
	}
	return label, missing
}
