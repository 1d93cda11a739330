package reading

import (
	"slices"
	"strings"

	"breakbook/frames/cells"
	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/models/lists"
)

// separators in the order in which one is preferred over the next where both fit.
var separators = []struct {
	mark byte
	name string
}{{'\t', "tab"}, {';', "semicolon"}, {'|', "bar"}, {',', "comma"}}

// sampled is the first records of a file, cut at one separator, quotes taken as they
// come, with the line of each.
type sampled struct {
	separator byte
	records   [][]string
	numbers   [][]bool // which cells are numbers or dates
	lines     []int
	header    int // which record is the header
}

// A sample is at most this long.
const (
	sampleBytes   = 1 << 16
	sampleRecords = 100
)

// sample reads the first records.
func sample(from source, separator byte) sampled {
	in := from.head().cutter(separator, true)
	s := sampled{separator: separator}
	var b cells.Batch
	for more := true; more && len(s.records) < sampleRecords; {
		b = cells.Batch{}
		var err error
		more, err = in.Cut(&b)
		start := 0
		for i, end := range b.Ends {
			record := b.Cells[start:end:end]
			if start = end; filled(record) == 0 || len(s.records) == sampleRecords {
				continue
			}
			numbers := lists.Mapped(record, numberish)
			s.records, s.numbers, s.lines = append(s.records, record), append(s.numbers, numbers),
				append(s.lines, b.Lines[i])
		}
		if err != nil {
			break
		}
	}
	return s
}

// detect finds the separator and the header: the mark that cuts the largest share of
// the first records into as many cells as the header has. A file that none cuts has
// one column and is called comma-separated. With a header line given, the text
// starts there.
func detect(from source, o Overrides) sampled {
	best, score := sampled{}, 0.0
	marks := from.separators()
	if o.Separator != 0 {
		marks = []byte{byte(o.Separator)}
	}
	for _, mark := range marks {
		s := sample(from, mark)
		if o.HeaderRow == 0 && !o.NoHeader {
			s.header = s.headerAt()
		}
		if share := s.fitting(); best.separator == 0 || share > score || mark == ',' && score == 0 {
			best, score = s, share
		}
	}
	return best
}

// fitting is the share of the records that have as many cells as the header; 0 where
// the header has one.
func (s sampled) fitting() float64 {
	if len(s.records) == 0 || len(s.records[s.header]) < 2 {
		return 0
	}
	fit := lists.Count(s.records[s.header:], func(r []string) bool { return len(r) == len(s.records[s.header]) })
	return float64(fit) / float64(len(s.records))
}

// mostPreamble is how many records can stand above a header that is to be found.
const mostPreamble = 60

// headerAt finds the header: the first record, unless what stands above a later one
// is a preamble. That one must be as full as most records, hold no number and have
// columns of numbers under it, more than any before it; what is above must be
// narrower, a comment, a name with a colon, or parted from it by a blank line.
func (s sampled) headerAt() int {
	w := s.usualWidth()
	if lead := s.blankBefore(w); w-lead < 2 {
		return 0
	}
	header, most := 0, 0
	for i := range min(len(s.records), mostPreamble) {
		if s.namedBy(i) < w || slices.Contains(s.numbers[i], true) || s.unitsOverNames(i) {
			continue
		}
		gap := i > 0 && s.lines[i] > s.lines[i-1]+1
		stray := false
		for k, above := range s.records[:i] {
			stray = stray || !(width(above) < w || remarkLine(above) || gap && filled(above) <= 2 ||
				s.unitsOverNames(k))
		}
		if stray {
			continue
		}
		if n := s.numberColumns(i); n > most {
			header, most = i, n
		}
	}
	return header
}

// namedBy counts the cells of record i that are filled, or have nothing below them either.
func (s sampled) namedBy(i int) int {
	n := 0
	for j := range width(s.records[i]) {
		if s.at(i, j) != "" || !slices.ContainsFunc(s.records[i+1:], func(r []string) bool {
			return j < len(r) && notation.Trim(r[j]) != ""
		}) {
			n++
		}
	}
	return n
}

// usualWidth is how many cells most records have, empty ones at the end not counted.
func (s sampled) usualWidth() int {
	count := map[int]int{}
	best := 0
	for _, r := range s.records {
		w := width(r)
		if count[w]++; count[w] > count[best] || count[w] == count[best] && w > best {
			best = w
		}
	}
	return best
}

// blankBefore is how many columns at the start are empty in every record of the usual width: a
// table in a sheet may start anywhere.
func (s sampled) blankBefore(w int) int {
	lead := w
	for _, r := range s.records {
		if width(r) == w {
			lead = min(lead, slices.IndexFunc(r, func(cell string) bool { return notation.Trim(cell) != "" }))
		}
	}
	return lead
}

// numberColumns counts the columns that hold nearly only numbers or dates below record i.
func (s sampled) numberColumns(i int) int {
	first := i + 1
	if first < len(s.records) && s.onlyUnits(first) {
		first++
	}
	columns := 0
	for j := range s.records[i] {
		met, numbers := 0, 0
		for k := first; k < len(s.records); k++ {
			if r := s.records[k]; j < len(r) && notation.Trim(r[j]) != "" {
				met++
				if s.numbers[k][j] {
					numbers++
				}
			}
		}
		if numbers > 0 && numbers*5 >= met*4 {
			columns++
		}
	}
	return columns
}

// onlyUnits tells whether record i holds nothing but units, dashes and empty cells.
func (s sampled) onlyUnits(i int) bool {
	known := 0
	for _, cell := range s.records[i] {
		switch _, kind := unitCell(cell); kind {
		case noUnitCell:
			return false
		case unitKnown:
			known++
		}
	}
	return known > 0
}

// unitsLine is the line after the header where it holds only units and a column of
// numbers stands under one of them; 0 otherwise.
func (s sampled) unitsLine() int {
	i := s.header + 1
	if i >= len(s.records)-1 || !s.onlyUnits(i) {
		return 0
	}
	for j, cell := range s.records[i] {
		if _, kind := unitCell(cell); kind == unitKnown && slices.ContainsFunc(s.numbers[i+1:],
			func(numbers []bool) bool { return j < len(numbers) && numbers[j] }) {
			return s.lines[i]
		}
	}
	return 0
}

// unitKind is what a cell of a row of units holds.
type unitKind uint8

const (
	noUnitCell unitKind = iota
	unitBlank           // nothing or a dash, in brackets or not
	unitOdd             // something unknown in brackets
	unitKnown
)

// unitWords stand before a row of units in several languages. Common practice, no source.
var unitWords = []string{"unit", "units", "einheit", "einheiten", "unité", "unités", "unità", "unidad", "unidades",
	"unidade", "eenheid", "eenheden", "enhet", "enheter", "enhed", "enheder", "yksikkö", "jednostka", "jednostki",
	"jednotka", "jednotky", "enota"}

// noValue knows the cells without a value of any file.
var noValue = newAbsence(nil)

// unitCell reads one cell of a row of units: N, (N), [mm], in kg.
func unitCell(cell string) (units.Unit, unitKind) {
	cell = notation.Trim(cell)
	inside := cell
	if noValue.is(cell) || slices.Contains(unitWords, strings.ToLower(strings.TrimSuffix(cell, ":"))) {
		return units.Unit{}, unitBlank
	}
	for _, pair := range []string{"()", "[]", "{}"} {
		if cell[0] == pair[0] && cell[len(cell)-1] == pair[1] {
			inside = cell[1 : len(cell)-1]
		}
	}
	if len(inside) <= notation.LongestUnit {
		if u, ok := units.Parse(strings.TrimPrefix(notation.Trim(inside), "in ")); ok {
			return u, unitKnown
		}
	}
	switch {
	case noValue.is(notation.Trim(inside)), cell == "1":
		return units.Unit{}, unitBlank
	case inside != cell:
		return units.Unit{}, unitOdd
	}
	return units.Unit{}, noUnitCell
}

func filled(record []string) int {
	return lists.Count(record, func(cell string) bool { return notation.Trim(cell) != "" })
}

// width is the number of cells up to the last that is not empty.
func width(record []string) int {
	n := len(record)
	for n > 0 && notation.Trim(record[n-1]) == "" {
		n--
	}
	return n
}

// remarkLine tells whether a line above a header is a comment or names something:
// "# rig 2", "Operator:".
func remarkLine(record []string) bool {
	first := notation.Trim(record[0])
	return strings.HasPrefix(first, "#") || strings.HasPrefix(first, "//") || strings.HasPrefix(first, "%") ||
		strings.HasSuffix(first, ":")
}

// numberish tells whether a cell is a number in any notation, with or without a unit,
// or a date.
func numberish(cell string) bool {
	if cell = notation.Trim(cell); !strings.ContainsAny(cell, "0123456789") {
		return false
	}
	if _, _, how := shapeOf(cell); how != noNumber {
		return true
	}
	for _, mark := range []byte{'.', ','} {
		if _, n, _ := notation.Number(cell, mark); n > 0 && bearsNumber(cell[n:]) {
			return true
		}
	}
	for o := notation.YearFirst; o <= notation.MonthFirst; o++ {
		if _, ok := notation.Date(cell, o); ok {
			return true
		}
	}
	return false
}
