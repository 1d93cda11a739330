package workbook

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// calendar is how a workbook counts days: from the last day of 1899 with a 29 February 1900
// that never was, or from 1 January 1904 (ECMA-376 part 1, 18.17.4.1).
type calendar struct{ from1904 bool }

// mostDays is the serial number of 31 December 9999, the last day a spreadsheet shows.
const mostDays = 2958465

// at is the moment of a serial number, to the millisecond; false where there is none.
func (c calendar) at(serial float64) (time.Time, bool) {
	switch {
	case c.from1904 && serial >= 0:
		serial += 1462
	case c.from1904, serial < 1, serial >= 60 && serial < 61: // the last is 29 February 1900
		return time.Time{}, false
	case serial < 60:
		serial++
	}
	if !(serial < mostDays+1) {
		return time.Time{}, false
	}
	day := math.Floor(serial)
	ms := math.Round((serial - day) * 86400e3)
	first := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	return first.AddDate(0, 0, int(day)).Add(time.Duration(ms) * time.Millisecond), true
}

// number is the text of a stored number as its cell shows it, with every digit stored: what
// shows fewer shows less than there is. What is no number stays as it is.
func (b *Book) number(stored string, style int) (string, kind) {
	var f format
	if style >= 0 && style < len(b.formats) {
		f = b.formats[style]
	}
	if f == (format{}) && short(stored) {
		return stored, number
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(stored), 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
		return stored, other
	}
	switch f.shown {
	case percent:
		return moved(x, 2) + "%", number
	case date, moment, clock:
		if shows, ok := b.days.text(x, f.shown); ok {
			return shows, other
		}
	case duration:
		if x >= 0 && x < mostDays {
			return lasting(x), other
		}
	case plain:
		if f.digits > 0 && x >= 0 && x == math.Trunc(x) && x < 1e15 {
			shows := strconv.FormatFloat(x, 'f', 0, 64)
			return strings.Repeat("0", max(0, f.digits-len(shows))) + shows, other
		}
		if f.unit != "" {
			return moved(x, -f.scale) + " " + f.unit, number
		}
	}
	return moved(x, 0), number
}

// short tells a number that is written as it would be written here: at most fifteen digits,
// without an exponent.
func short(s string) bool {
	if len(s) == 0 || len(s) > 15 {
		return false
	}
	for i := range len(s) {
		if c := s[i]; (c < '0' || c > '9') && c != '.' && !(c == '-' && i == 0) {
			return false
		}
	}
	return true
}

// moved is a number in its shortest exact form, its decimal mark moved right by so many
// places: 0.07 by two is 7, and not the 7.000000000000001 of a product.
func moved(x float64, places int) string {
	if x == 0 {
		return "0"
	}
	text := strconv.FormatFloat(x, 'e', -1, 64)
	digits, power, _ := strings.Cut(text, "e")
	n, err := strconv.Atoi(power)
	if err != nil {
		return text
	}
	if n += places; n > 14 || n < -6 {
		return digits + "e" + strconv.Itoa(n)
	}
	sign := ""
	if strings.HasPrefix(digits, "-") {
		sign, digits = "-", digits[1:]
	}
	digits = strings.Replace(digits, ".", "", 1)
	if n < 0 {
		return sign + "0." + strings.Repeat("0", -n-1) + digits
	}
	if n+1 >= len(digits) {
		return sign + digits + strings.Repeat("0", n+1-len(digits))
	}
	return sign + digits[:n+1] + "." + digits[n+1:]
}

// text writes a serial number as an ISO date, a time of day, or both.
func (c calendar) text(serial float64, how shown) (string, bool) {
	if how == clock && serial >= 0 && serial < 1 {
		return timeOf(time.Time{}.Add(time.Duration(math.Round(serial*86400e3)) * time.Millisecond)), true
	}
	at, ok := c.at(serial)
	switch {
	case !ok:
		return "", false
	case how == date:
		return at.Format(time.DateOnly), true
	case how == clock:
		return timeOf(at), true
	}
	return at.Format(time.DateOnly) + " " + timeOf(at), true
}

// timeOf is the time of a day, as long as it has to be.
func timeOf(at time.Time) string {
	switch {
	case at.Nanosecond() != 0:
		return at.Format("15:04:05.000")
	case at.Second() != 0:
		return at.Format(time.TimeOnly)
	}
	return at.Format("15:04")
}

// lasting is a number of days as hours, minutes and seconds.
func lasting(days float64) string {
	ms := int64(math.Round(days * 86400e3))
	hours := ms / 3600e3
	rest := time.Time{}.Add(time.Duration(ms%3600e3) * time.Millisecond)
	return strconv.FormatInt(hours, 10) + strings.TrimPrefix(timeOf(rest), "00")
}

// unescaped undoes what a workbook does to letters that XML cannot hold, _x000D_ for a
// carriage return (ECMA-376 part 1, 22.9.2.19), and makes each line end a line feed, as in a
// text.
func unescaped(s string) string {
	if strings.Contains(s, "_x") {
		var out strings.Builder
		for i := 0; i < len(s); {
			if i+7 <= len(s) && s[i] == '_' && s[i+1] == 'x' && s[i+6] == '_' {
				if code, err := strconv.ParseUint(s[i+2:i+6], 16, 16); err == nil {
					out.WriteRune(rune(code))
					i += 7
					continue
				}
			}
			out.WriteByte(s[i])
			i++
		}
		s = out.String()
	}
	if strings.Contains(s, "\r") {
		s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	}
	return s
}
