package handkept

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames/proofread"
)

// Planted is what was put into a sheet: the remarks that tell it have this code, and between them name
// every one of these lines of the file (of levels: the misspelt one).
type Planted struct {
	Code  proofread.Code
	Lines []int
	Level string
}

// Fault is a kind of slip.
type Fault struct {
	Name    string
	Options Options
	Plant   func(r *rand.Rand, s *Sheet) Planted
}

// Faults are the kinds that are planted.
var Faults = []Fault{
	{"a foot of totals", Options{Names: true}, summaryRows(false, "sum")},
	{"a foot of totals and means, named in some language", Options{Names: true, Two: true},
		summaryRows(false, "sum", "mean")},
	{"a foot of means, unnamed", Options{Names: true, Two: true}, summaryRows(true, "mean")},
	{"a foot of five figures", Options{Names: true, Two: true},
		summaryRows(false, "number", "mean", "sd", "least", "most")},
	{"totals of groups, and of all", Options{Names: true, Ordered: true}, groups},
	{"an unnamed total in a sheet without names", Options{Two: true}, summaryRows(true, "sum")},
	{"a row entered twice, name and all", Options{Names: true}, twice(true)},
	{"a row entered twice under two names", Options{Names: true, Two: true}, twice(false)},
	{"a name given twice", Options{Names: true}, nameTwice},
	{"a level in other capitals", Options{}, misspelt(capitals)},
	{"a level with a letter wrong, lost, doubled or swapped", Options{}, misspelt(oneLetter)},
	{"a level in the plural", Options{}, misspelt(plural)},
	{"a load 10, 100 or 1000 times, spread 0.15", Options{Spread: 0.15, Least: 40}, slip(10, 100, 1000)},
	{"a load 9.81 times, spread 0.12", Options{Spread: 0.12, Least: 40}, slip(9.80665)},
	{"a load 4.45 times, spread 0.08", Options{Spread: 0.08, Least: 40}, slip(4.4482216)},
	{"a load 2.2 times, spread 0.04", Options{Spread: 0.04, Least: 40}, slip(2.2046226)},
	{"a load of 0", Options{}, zero},
	{"a thickness with a minus", Options{Size: true}, negative},
	{"kgf and N in one column, spread 0.12", Options{Spread: 0.12, Least: 40}, mixed},
	{"a date of another year or with day and month swapped", Options{Dates: true}, wrongDate},
}

// summaryNames are what people call such rows.
var summaryNames = map[string][]string{
	"sum":    {"Total", "Sum", "Summe", "Totaal", "Suma", "Somme", "total:", "Gesamt"},
	"mean":   {"Mean", "Average", "Average:", "Mittel", "Mittelwert", "Moyenne", "Gemiddelde", "Średnia"},
	"sd":     {"sd", "St.dev.", "Standardabweichung"},
	"least":  {"Min", "smallest"},
	"most":   {"Max", "largest"},
	"number": {"n", "count", "Anzahl"},
}

// figure is one figure of numbers.
func figure(kind string, of []float64) float64 {
	sum, squares := 0.0, 0.0
	for _, x := range of {
		sum += x
	}
	mean := sum / float64(len(of))
	for _, x := range of {
		squares += (x - mean) * (x - mean)
	}
	switch kind {
	case "mean":
		return mean
	case "sd":
		return math.Sqrt(squares / float64(len(of)-1))
	case "least":
		return slices.Min(of)
	case "most":
		return slices.Max(of)
	case "number":
		return float64(len(of))
	}
	return sum
}

// summaryRow is a row of one figure of other rows, in all measured columns.
func (s *Sheet) summaryRow(r *rand.Rand, kind, name string, rows [][]string) []string {
	cells := make([]string, len(s.Header))
	if s.name >= 0 {
		cells[s.name] = name
	} else if len(s.levels) > 0 {
		cells[s.levels[0]] = name
	}
	more := r.IntN(2)
	for _, k := range s.number {
		var of []float64
		for _, row := range rows {
			if x := read(row[k]); x == x {
				of = append(of, x)
			}
		}
		digits := s.digits[k]
		switch kind {
		case "mean", "sd":
			digits += more
		case "number":
			digits = 0
		}
		cells[k] = written(figure(kind, of), digits)
	}
	return cells
}

// summaryRows plants figures of all rows under them.
func summaryRows(unnamed bool, kinds ...string) func(*rand.Rand, *Sheet) Planted {
	return func(r *rand.Rand, s *Sheet) Planted {
		p := Planted{Code: proofread.Sum}
		rows := slices.Clone(s.Rows)
		if r.IntN(3) == 0 {
			s.Rows = append(s.Rows, nil)
		}
		for _, kind := range kinds {
			name := ""
			if !unnamed {
				name = summaryNames[kind][r.IntN(len(summaryNames[kind]))]
			}
			p.Lines = append(p.Lines, s.line(len(s.Rows)))
			s.Rows = append(s.Rows, s.summaryRow(r, kind, name, rows))
		}
		return p
	}
}

// groups plants a total under each level of the first column of levels, and one of all at the end.
func groups(r *rand.Rand, s *Sheet) Planted {
	p := Planted{Code: proofread.Sum}
	all := slices.Clone(s.Rows)
	for _, row := range all { // an empty level would end its group
		if row[s.levels[0]] == "" {
			row[s.levels[0]] = "?"
		}
	}
	for i := 1; i < len(all); i++ {
		if all[i][s.levels[0]] == "?" {
			all[i][s.levels[0]] = all[i-1][s.levels[0]]
		}
	}
	if all[0][s.levels[0]] == "?" {
		all[0][s.levels[0]] = all[1][s.levels[0]]
	}
	s.Rows = nil
	start := 0
	for i, row := range all {
		s.Rows = append(s.Rows, row)
		if i+1 == len(all) || all[i+1][s.levels[0]] != row[s.levels[0]] {
			p.Lines = append(p.Lines, s.line(len(s.Rows)))
			sub := s.summaryRow(r, "sum", "Subtotal", all[start:i+1])
			if s.name >= 0 {
				sub[s.levels[0]] = row[s.levels[0]]
			}
			s.Rows = append(s.Rows, sub)
			start = i + 1
		}
	}
	p.Lines = append(p.Lines, s.line(len(s.Rows)))
	s.Rows = append(s.Rows, s.summaryRow(r, "sum", "Total", all))
	return p
}

// insert puts a row somewhere after another and says where.
func (s *Sheet) insert(r *rand.Rand, after int, row []string) int {
	at := after + 1
	if s.date < 0 && r.IntN(2) == 0 {
		at += r.IntN(len(s.Rows) - after)
	}
	s.Rows = slices.Insert(s.Rows, at, row)
	return at
}

func twice(named bool) func(*rand.Rand, *Sheet) Planted {
	return func(r *rand.Rand, s *Sheet) Planted {
		of := r.IntN(len(s.Rows))
		for read(s.Rows[of][s.load]) != read(s.Rows[of][s.load]) {
			of = r.IntN(len(s.Rows))
		}
		row := slices.Clone(s.Rows[of])
		if !named {
			row[s.name] = s.another(row[s.name])
		}
		at := s.insert(r, of, row)
		return Planted{Code: proofread.RowTwice, Lines: []int{s.line(of), s.line(at)}}
	}
}

// another is a name like one there is that no row has.
func (s *Sheet) another(name string) string {
	at := strings.LastIndexFunc(name, func(r rune) bool { return r < '0' || r > '9' }) + 1
	return name[:at] + strconv.Itoa(len(s.Rows)+7)
}

func nameTwice(r *rand.Rand, s *Sheet) Planted {
	a, b := r.IntN(len(s.Rows)), r.IntN(len(s.Rows))
	for a == b {
		b = r.IntN(len(s.Rows))
	}
	s.Rows[b][s.name] = s.Rows[a][s.name]
	return Planted{Code: proofread.NameTwice, Lines: []int{s.line(a), s.line(b)}}
}

// misspelt writes a level in another way once, one that is met five times and more.
func misspelt(change func(r *rand.Rand, level string) string) func(*rand.Rand, *Sheet) Planted {
	return func(r *rand.Rand, s *Sheet) Planted {
		for {
			k := s.levels[r.IntN(len(s.levels))]
			row := r.IntN(len(s.Rows))
			level, n := s.Rows[row][k], 0
			for _, other := range s.Rows {
				if other[k] == level {
					n++
				}
			}
			if level == "" || len(level) < 4 || n < 4 {
				if !s.anyLong() {
					s.lengthen(k)
				}
				continue
			}
			s.Rows[row][k] = change(r, level)
			return Planted{Code: proofread.Alike, Level: s.Rows[row][k], Lines: []int{s.line(row)}}
		}
	}
}

// anyLong reports whether some level of four letters and more is met four times and more.
func (s *Sheet) anyLong() bool {
	for _, k := range s.levels {
		times := map[string]int{}
		for _, row := range s.Rows {
			if times[row[k]]++; len(row[k]) >= 4 && times[row[k]] >= 4 {
				return true
			}
		}
	}
	return false
}

// lengthen gives a column levels that are long enough to be misspelt, one of them to eight rows.
func (s *Sheet) lengthen(k int) {
	for i, row := range s.Rows {
		if i < 8 {
			row[k] = "mixed"
		}
	}
}

func capitals(r *rand.Rand, level string) string {
	if r.IntN(2) == 0 && level != strings.ToUpper(level) {
		return strings.ToUpper(level)
	}
	if t := strings.ToUpper(level[:1]) + level[1:]; t != level {
		return t
	}
	return strings.ToLower(level)
}

func oneLetter(r *rand.Rand, level string) string {
	for {
		at := 1 + r.IntN(len(level)-2)
		out := level
		switch r.IntN(4) {
		case 0:
			out = level[:at] + string(rune('a'+r.IntN(26))) + level[at+1:]
		case 1:
			out = level[:at] + level[at+1:]
		case 2:
			out = level[:at+1] + level[at:]
		case 3:
			out = level[:at] + level[at+1:at+2] + level[at:at+1] + level[at+2:]
		}
		if out != level {
			return out
		}
	}
}

func plural(_ *rand.Rand, level string) string { return level + "s" }

// somewhere is a row with a load.
func (s *Sheet) somewhere(r *rand.Rand, column int) int {
	row := r.IntN(len(s.Rows))
	for s.Rows[row][column] == "" {
		row = r.IntN(len(s.Rows))
	}
	return row
}

func slip(ratios ...float64) func(*rand.Rand, *Sheet) Planted {
	return func(r *rand.Rand, s *Sheet) Planted {
		row := s.somewhere(r, s.load)
		k := ratios[r.IntN(len(ratios))]
		digits := s.digits[s.load]
		if r.IntN(2) == 0 {
			k, digits = 1/k, digits+3
		}
		s.Rows[row][s.load] = strconv.FormatFloat(read(written(read(s.Rows[row][s.load])*k, digits)), 'f', -1, 64)
		return Planted{Code: proofread.Slip, Lines: []int{s.line(row)}}
	}
}

func zero(r *rand.Rand, s *Sheet) Planted {
	row := s.somewhere(r, s.load)
	s.Rows[row][s.load] = "0"
	return Planted{Code: proofread.Zero, Lines: []int{s.line(row)}}
}

func negative(r *rand.Rand, s *Sheet) Planted {
	row := s.somewhere(r, s.size)
	s.Rows[row][s.size] = "-" + s.Rows[row][s.size]
	return Planted{Code: proofread.Negative, Lines: []int{s.line(row)}}
}

// mixed writes a tenth to half of the loads, at least three, in the other unit.
func mixed(r *rand.Rand, s *Sheet) Planted {
	p := Planted{Code: proofread.TwoUnits}
	share := 0.1 + 0.35*r.Float64()
	n := max(3, int(share*float64(len(s.Rows))))
	for _, row := range r.Perm(len(s.Rows)) {
		if s.Rows[row][s.load] == "" || len(p.Lines) == n {
			continue
		}
		s.Rows[row][s.load] = written(read(s.Rows[row][s.load])/9.80665, s.digits[s.load]+1)
		p.Lines = append(p.Lines, s.line(row))
	}
	return p
}

func wrongDate(r *rand.Rand, s *Sheet) Planted {
	for {
		row := 1 + r.IntN(len(s.Rows)-2)
		d := s.Rows[row][s.date]
		if r.IntN(2) == 0 {
			s.Rows[row][s.date] = "2023" + d[4:]
			return Planted{Code: proofread.DateOrder, Lines: []int{s.line(row)}}
		}
		if d[8:] > "12" || d[5:7] == d[8:] {
			continue
		}
		s.Rows[row][s.date] = d[:5] + d[8:] + "-" + d[5:7]
		return Planted{Code: proofread.DateOrder, Lines: []int{s.line(row)}}
	}
}
