package bench

import (
	"slices"
	"strings"
	"testing"

	"breakbook/repl/modes"
	"breakbook/repl/page"
	"breakbook/repl/plans"
	"breakbook/repl/plans/blanks"
	"breakbook/repl/plans/judging"
)

// typedLines are commands about modes and plans that between them give every table and value of
// their contracts, with the setting that each needs before it.
var typedLines = [][]string{
	{"count failure by pins"},
	{"modes failure by place under load"},
	{"odds failure is glue on density, pins"},
	{"odds failure on place against wood"},
	{"fit load until failure is glue on pins"},
	{"fit load until failure is glue on density lognormal"},
	{"fit load on density, pins", "plan load by pins detecting 10% of fit1 with 8"},
	{"plan load by pins detecting 10%"},
	{"plan load by pins with 8 none, 12 pair"},
	{"plan load by pins costing 4 none, 6 pair, 9 offset"},
	{"mark board as block", "plan load by pins detecting 10%"},
	{"plan failure is glue by place from 70% to 20%"},
	{"odds failure is glue on place, density", "plan failure is glue by place from 70% to 20% of odds1"},
	{"fit load until failure is glue on place", "plan load by place detecting 40% of strength1"},
	{"plan characteristic load within 10%"},
	{"plan load by pins detecting 40%", "sheet of plan1 to next.csv"},
	{"plan load by pins detecting 40% in 2 stages"},
	{"plan load by pins detecting 40% in 2 stages", "judge plan1 so far"},
	{"plan load by place detecting 10%", "judge plan1 so far"},
	{"allot gates.csv over finish oil, wax balancing density"},
	{"fit load on density, pins", "suggest 8 of fit1"},
	{"fit load on density, pins", "suggest 3 of fit1 from gates.csv"},
	{"suggest 4 to separate place, cure_temp"},
}

// TestTypedRows holds the tables and values of the commands about modes and plans to what their
// contracts say: ids, units, styles and labels in order, and the kind of every cell.
func TestTypedRows(t *testing.T) {
	withoutShort(t)
	contracts := slices.Concat(modes.Contract, plans.Contract, blanks.Contract, judging.Contract)
	seen := map[string]bool{}
	for _, lines := range typedLines {
		t.Run(lines[len(lines)-1], func(t *testing.T) {
			b := newBench(t)
			b.run("open gates.csv")
			e := b.run(lines...)
			at := slices.IndexFunc(contracts, func(c page.Contract) bool { return c.Kind == e.Kind })
			if at < 0 {
				t.Fatalf("no contract of kind %q", e.Kind)
			}
			c := contracts[at]
			for _, table := range e.Tables {
				at := slices.IndexFunc(c.Tables, func(s page.TableShape) bool { return s.ID == table.ID })
				if at < 0 {
					t.Errorf("no table %q in the contract of %s", table.ID, c.Kind)
					continue
				}
				seen[c.Kind+" "+table.ID] = true
				if fields := page.Fields(c.Tables[at].Row); !tableFits(fields, table) {
					t.Errorf("table %s: %+v\nis not of %+v", table.ID, table.Columns, fields)
				}
			}
			var columns []page.Column
			var cells []page.Cell
			for _, v := range e.Values {
				columns, cells = append(columns, page.Column{ID: v.ID, Label: v.Label, Unit: v.Unit, Style: v.Style}),
					append(cells, v.Cell)
			}
			if c.Values == nil {
				if len(e.Values) > 0 {
					t.Errorf("values %+v are in no contract", e.Values)
				}
			} else if !rowFits(page.Fields(c.Values), columns, cells) {
				t.Errorf("values %+v\nare not of %v", e.Values, c.Values)
			}
		})
	}
	for _, c := range contracts {
		for _, s := range c.Tables {
			if !seen[c.Kind+" "+s.ID] {
				t.Errorf("no line gave the table %s of %s", s.ID, c.Kind)
			}
		}
	}
}

func tableFits(fields []page.Field, table page.Table) bool {
	if len(table.Rows) == 0 {
		return rowFits(fields, table.Columns, nil)
	}
	return !slices.ContainsFunc(table.Rows, func(row []page.Cell) bool { return !rowFits(fields, table.Columns, row) })
}

// rowFits tells whether columns and their cells are those of the fields in their order; a
// field that stands for several takes as many as leave the rest theirs.
func rowFits(fields []page.Field, columns []page.Column, cells []page.Cell) bool {
	if len(fields) == 0 {
		return len(columns) == 0 && len(cells) == 0
	}
	f, rest := fields[0], fields[1:]
	if f.Type == page.ManyField {
		for n := range len(columns) + 1 {
			if rowFits(rest, columns[n:], cells[min(n, len(cells)):]) {
				return true
			}
		}
		return false
	}
	if len(columns) > 0 && columnFits(f, columns[0]) && (len(cells) == 0 || cellFits(f, cells[0])) &&
		rowFits(rest, columns[1:], cells[min(1, len(cells)):]) {
		return true
	}
	return f.Maybe && rowFits(rest, columns, cells)
}

func columnFits(f page.Field, c page.Column) bool {
	same := func(tag, is string) bool {
		return tag == is || strings.Contains(tag, "{") && !strings.Contains(is, "{")
	}
	style := f.Style == c.Style || f.ID == "detectable" && c.Style == page.Fraction // of a share
	return same(f.ID, c.ID) && same(f.Unit, c.Unit) && same(f.Label, c.Label) && style && f.Wide == c.Wide
}

func cellFits(f page.Field, c page.Cell) bool {
	switch c.Kind {
	case page.Number:
		return f.Type == page.NumberField || f.Type == page.AnyField
	case page.Text:
		return f.Type == page.TextField || f.Type == page.AnyField
	case page.Truth:
		return f.Type == page.TruthField
	}
	return true
}
