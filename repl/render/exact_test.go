package render

import (
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
)

// Exact numbers show what they have and no digit beyond their step; those of one column share their
// decimals unless zeros nobody read would fill them up.
func TestExactColumns(t *testing.T) {
	n := func(x, step float64) page.Cell {
		c := page.N(x)
		c.Step = step
		return c
	}
	for _, c := range []struct {
		what  string
		apart bool
		cells []page.Cell
		want  []string
	}{
		{"as read", false, []page.Cell{n(12, 0), n(11.5, 0), {}}, []string{"12.0", "11.5", "–"}},
		{"different kinds", true, []page.Cell{n(560, 0), n(11.5, 0)}, []string{"560", "11.5"}},
		{"one with many digits", false, []page.Cell{n(574, 0), n(953.90475411, 0)}, []string{"574", "953.90475411"}},
		{"converted", false, []page.Cell{n(3942.2733, 0.980665), n(4427.702475, 0.980665)},
			[]string{"3942.3", "4427.7"}},
		{"a step above one", false, []page.Cell{n(3942.2733, 9.80665), n(12.3, 9.80665)}, []string{"3942", "12"}},
		{"a step and a short number", false, []page.Cell{n(400, 0.1), n(40.788648, 0.1)}, []string{"400.0", "40.8"}},
		{"very small", false, []page.Cell{n(0.0000123456, 1e-7)}, []string{"1.23 × 10⁻⁵"}},
		{"very small, as read", false, []page.Cell{n(0.00001234, 0)}, []string{"0.00001234"}},
	} {
		t.Run(c.what, func(t *testing.T) {
			table := page.Table{Columns: []page.Column{{ID: "load", Style: page.Exact, Apart: c.apart}}}
			for _, cell := range c.cells {
				table.Rows = append(table.Rows, []page.Cell{cell})
			}
			got := exactTexts(table, 0, Options{})
			for i := range got {
				got[i] = strings.TrimRight(soft(got[i]), padding+" ")
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
