package reading

import (
	"context"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// dated is what the cells of a file's date columns say about the order of their parts.
type dated struct {
	columns            []string
	yearFirst          bool
	dayOnly, monthOnly position // the first date that can only be read so
	either             position // the first that can be read both ways
	eitherIn           string
}

// take looks at one column's cells, lineOf giving the line of each; every one that is
// not missing must be a date, or the column is none of dates. It looks at ctx.
func (d *dated) take(ctx context.Context, column string, cells []string, lineOf func(i int) int) {
	next, met := *d, false
	for i, cell := range cells {
		parallel.LookAt(ctx, i)
		if cell == "" {
			continue
		}
		met = true
		at := func() position { return position{lineOf(i), cell} }
		_, day := notation.Date(cell, notation.DayFirst)
		_, month := notation.Date(cell, notation.MonthFirst)
		parts, named := notation.DateParts(strings.Fields(cell + " x")[0])
		switch {
		case !day && !month:
			if _, ok := notation.Date(cell, notation.YearFirst); !ok {
				return
			}
			next.yearFirst = true
		case len(parts) > 0 && len(parts[0]) == 4:
			next.yearFirst = true
		case named:
		case day && month:
			if next.either.line == 0 && parts != nil && parts[0] != parts[1] {
				next.either, next.eitherIn = at(), column
			}
		case day && next.dayOnly.line == 0:
			next.dayOnly = at()
		case month && next.monthOnly.line == 0:
			next.monthOnly = at()
		}
	}
	if met {
		*d = next
		d.columns = append(d.columns, column)
	}
}

// order settles the order of the file's dates and says where it is a guess.
func (d *dated) order(o Overrides) (notation.DateOrder, []frames.Remark) {
	if len(d.columns) == 0 {
		return notation.NoDates, nil
	}
	given, _ := notation.OrderCalled(o.Dates)
	switch {
	case given == notation.DayFirst && d.monthOnly.line > 0:
		return given, []frames.Remark{{Code: "odd-date", Line: d.monthOnly.line, Word: d.monthOnly.word}}
	case given == notation.MonthFirst && d.dayOnly.line > 0:
		return given, []frames.Remark{{Code: "odd-date", Line: d.dayOnly.line, Word: d.dayOnly.word}}
	case given != notation.NoDates:
		return given, nil
	case d.dayOnly.line > 0 && d.monthOnly.line > 0:
		return notation.DayFirst, []frames.Remark{{Code: "mixed-dates", Line: d.dayOnly.line, Word: d.dayOnly.word +
			" and " + d.monthOnly.word}}
	case d.monthOnly.line > 0:
		return notation.MonthFirst, nil
	case d.dayOnly.line > 0:
		return notation.DayFirst, nil
	case d.either.line > 0:
		if strings.Contains(d.either.word, ".") {
			return notation.DayFirst, nil
		}
		return notation.DayFirst, []frames.Remark{{Code: "ambiguous-dates", Column: d.eitherIn, Line: d.either.line,
			Word: d.either.word}}
	case d.yearFirst:
		return notation.YearFirst, nil
	}
	return notation.DayFirst, nil
}
