package render

import (
	"math"

	"breakbook/repl/page"
)

// mostFilled is how many zeros at most are put behind a number so that it has the decimals of those above and below it.
const mostFilled = 3

// exactTexts shows the cells of a column of exact numbers: as they are, and with no digit beyond the
// step that they support. Those of one unit share their decimals, unless they are of different kinds, or
// some would be filled up with more zeros than anybody read.
func exactTexts(t page.Table, c int, o Options) []string {
	col := t.Columns[c]
	most, fewest := map[string]int{}, map[string]int{}
	for r, row := range t.Rows {
		o.look(r)
		v := cell(row, c)
		if v.Kind != page.Number {
			continue
		}
		unit, d := cellUnit(v, col), supported(v)
		if n, met := fewest[unit]; !met || d < n {
			fewest[unit] = d
		}
		most[unit] = max(most[unit], d)
	}
	return aligned(t, c, o, func(v page.Cell) string {
		unit := cellUnit(v, col)
		if col.Apart || most[unit]-fewest[unit] > mostFilled {
			return exactText(v, supported(v))
		}
		return exactText(v, most[unit])
	})
}

// supported is how many decimals an exact number shows by itself.
func supported(v page.Cell) int {
	if outsize(v.Num) {
		return 0 // with a power of ten
	}
	d := exactDecimals(v.Num)
	if v.Step > 0 {
		d = min(d, stepDecimals(v.Step))
	}
	return d
}

// stepDecimals is how many decimals a step takes: one for 0.1 and for 0.98, none for 9.8.
func stepDecimals(step float64) int {
	return max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
}

// exactText is an exact number with so many decimals.
func exactText(v page.Cell, decimals int) string {
	switch {
	case outsize(v.Num) && v.Step > 0:
		return power(v.Num, min(max(1, 1+int(math.Floor(math.Log10(math.Abs(v.Num)/v.Step)))), 15))
	case outsize(v.Num):
		return exact(v.Num)
	}
	return fixed(v.Num, decimals)
}
