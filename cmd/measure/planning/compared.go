package planning

import (
	"context"
	"fmt"

	"breakbook/cmd/measure/typed"
)

// reportedDifference is the row of a table of differences between two levels.
type reportedDifference struct {
	low, high float64
	answer    string
	doubts    []string
}

// compared carries out lines of which the last compares, and reads the first row of its table of differences, as
// second less first.
func compared(ctx context.Context, b *typed.Book, lines string) (d reportedDifference, err error) {
	e, err := b.Run(ctx, lines)
	if err != nil {
		return d, err
	}
	rows, err := typed.Rows(e, "differences", "low", "high", "answer")
	if err != nil {
		return d, err
	}
	if len(rows) == 0 {
		return d, fmt.Errorf("%s gave no differences", e.Input)
	}
	d = reportedDifference{low: rows[0][0].Num, high: rows[0][1].Num, answer: rows[0][2].Text}
	for _, one := range e.Doubts {
		d.doubts = append(d.doubts, one.Code)
	}
	return d, nil
}

// holds is 1 where the interval holds the true difference.
func (d reportedDifference) holds(truth float64) int { return bit(d.low <= truth && truth <= d.high) }

func (d reportedDifference) length() float64 { return d.high - d.low }

// bit is 1 of what is so.
func bit(is bool) int {
	if is {
		return 1
	}
	return 0
}
