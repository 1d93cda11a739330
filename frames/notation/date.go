package notation

import (
	"strconv"
	"strings"
)

// DateOrder is the order in which a file writes the parts of a date. A date is kept
// word for word; the order only decides in which order the levels of a category stand.
type DateOrder uint8

const (
	NoDates DateOrder = iota
	YearFirst
	DayFirst
	MonthFirst
)

// DateOrders are the orders by the names that a person types; NoDates has none.
var DateOrders = [...]string{"", "year-month-day", "day-month-year", "month-day-year"}

// OrderCalled is the order a person names, and whether there is one.
func OrderCalled(name string) (DateOrder, bool) {
	for o, n := range DateOrders {
		if n == name {
			return DateOrder(o), true
		}
	}
	return NoDates, false
}

// Date reads a date, with or without a time of day, whose parts stand in this order;
// a year of four digits in front goes first in any order. The key sorts by time.
func Date(s string, o DateOrder) (key float64, ok bool) {
	day, rest := s, ""
	if i := strings.IndexAny(s, " T\u00a0"); i >= 6 {
		day, rest = s[:i], strings.TrimSpace(s[i+1:])
	}
	parts, named := DateParts(day)
	if parts == nil {
		return 0, false
	}
	var y, m, d string
	switch {
	case len(parts[0]) == 4 || o == YearFirst:
		y, m, d = parts[0], parts[1], parts[2]
	case o == MonthFirst && !named:
		m, d, y = parts[0], parts[1], parts[2]
	default:
		d, m, y = parts[0], parts[1], parts[2]
	}
	year, okY := yearOf(y)
	month, okM := smallNumber(m, 12)
	dayOf, okD := smallNumber(d, [...]int{0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month])
	if !okY || !okM || !okD || month == 0 || dayOf == 0 {
		return 0, false
	}
	seconds, ok := clock(rest)
	return float64((year*12+month)*31+dayOf)*86400*2 + seconds, ok
}

// monthNames are the English short names that spreadsheets write.
var monthNames = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// DateParts cuts a date at its two like marks; a month's name becomes its number.
func DateParts(s string) (parts []string, named bool) {
	for _, mark := range []string{"-", ".", "/"} {
		if strings.Count(s, mark) != 2 {
			continue
		}
		parts = strings.Split(s, mark)
		for i, name := range monthNames {
			if len(parts[1]) == 3 && strings.EqualFold(parts[1], name) {
				parts[1], named = strconv.Itoa(i+1), true
			}
		}
		return parts, named
	}
	return nil, false
}

func yearOf(s string) (int, bool) {
	u, err := strconv.ParseUint(s, 10, 14)
	n := int(u)
	switch {
	case err != nil:
		return 0, false
	case len(s) == 4:
		return n, true
	case len(s) == 2 && n < 70:
		return 2000 + n, true
	case len(s) == 2:
		return 1900 + n, true
	}
	return 0, false
}

func smallNumber(s string, most int) (int, bool) {
	n, err := strconv.ParseUint(s, 10, 7)
	if err != nil || len(s) > 2 || int(n) > most {
		return 0, false
	}
	return int(n), true
}

// clock reads a time of day (13:45, 1:45:30.5 PM, with Z or +02:00 after it); "" is 0.
func clock(s string) (seconds float64, ok bool) {
	if s == "" {
		return 0, true
	}
	upper := strings.ToUpper(s)
	afternoon := strings.HasSuffix(upper, "PM")
	twelve := afternoon || strings.HasSuffix(upper, "AM")
	if twelve {
		s = strings.TrimSpace(s[:len(s)-2])
	}
	s = strings.TrimSuffix(s, "Z")
	if i := strings.LastIndexAny(s, "+-"); i > 0 {
		if len(strings.Replace(s[i+1:], ":", "", 1)) != 4 {
			return 0, false
		}
		s = s[:i]
	}
	scale := 3600.0
	parts := strings.Split(s, ":")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, false
	}
	for i, p := range parts {
		x, n, _ := Number(p, '.')
		if n == 0 || n != len(p) || x < 0 || x >= 60.5 || i < 2 && len(p) > 2 {
			return 0, false
		}
		if i == 0 && twelve {
			if x == 12 {
				x = 0
			}
			if afternoon {
				x += 12
			}
		}
		seconds += x * scale
		scale /= 60
	}
	return seconds, true
}
