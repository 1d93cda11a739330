package session

import (
	"fmt"
	"strconv"

	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// Work whose size is known before it begins is refused beforehand where nobody could wait
// for it, or read what came of it.
const (
	mostBands       = 100               // levels that band makes of a number column
	mostPredictions = 1000              // in one sentence
	mostPaired      = 300               // levels compared each with each: 44,850 pairs
	mostAgainst     = 2000              // levels compared with one
	mostDealt       = 1_000_000_000_000 // values that reshuffles put in a new order, all together
)

// FewBands refuses to cut a column into fewer than two levels, or into more than anybody
// tells apart.
func FewBands(n phrase.Count, column string) error {
	if n.Value >= 2 && n.Value <= mostBands {
		return nil
	}
	return page.Refuse(page.CodeOutOfRange, n.At, fmt.Sprintf("a column is cut into 2 to %d levels, not %s",
		mostBands, grouped(n.Value)), "band "+column+" into 3")
}

// FewPredictions refuses more combinations of what is given than a table is read for.
func FewPredictions(given phrase.Given) error {
	n := 1
	for _, item := range given.List {
		n *= max(len(item.Values), 1)
		if n > mostPredictions {
			return page.Refuse(page.CodeTooMany, item.At, fmt.Sprintf("these values combine to more than %s "+
				"predictions, the most in one "+
				"sentence", grouped(mostPredictions)), "give fewer values after "+item.Column.Column)
		}
	}
	return nil
}

// FewLevels refuses to compare more levels than anybody reads pair by pair; against is
// whether all are compared with one.
func (k *Call) FewLevels(n int, column string, against bool) error {
	most, how := mostPaired, "each with each"
	if against {
		most, how = mostAgainst, "with one"
	}
	if n <= most {
		return nil
	}
	return page.Refuse(page.CodeTooMany, k.Command.PlaceOf(column),
		fmt.Sprintf("%s has %s levels, and at most %s are compared %s", column, grouped(n), grouped(most), how),
		"merge levels of "+column+", or compare some of them with for "+column+" among")
}

// FewDeals refuses more reshuffles of so many specimens than a day of work.
func FewDeals(times phrase.Count, specimens int) error {
	if times.Value*specimens <= mostDealt {
		return nil
	}
	return page.Refuse(page.CodeTooMany, times.At, fmt.Sprintf("%s reshuffles of %s specimens are more than a day "+
		"of work", grouped(times.Value), grouped(specimens)),
		fmt.Sprintf("reshuffled %d times", max(LeastTimes, min(MostTimes, mostDealt/1000/max(specimens, 1)))))
}

// grouped is a whole number with a comma after every three digits.
func grouped(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
