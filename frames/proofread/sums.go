package proofread

import (
	"math"
	"slices"
	"strings"
	"unicode"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Below which chance a row counts as a sum of others: of one whose other cells look like those of
// any specimen, over all the rows of the series; of one that looks apart, for itself.
const (
	sureOfAny   = 1e-4
	sureOfApart = 0.02
)

// fewApart is how many rows of a foot may look apart before each counts for less.
const fewApart = 5

// misfit is by how much a column that does not fit makes it likelier that those which do fit by chance:
// chosen by hand, so that specimens with a level of their own are not taken for means.
const misfit = 50

// footerRows is how far from its end a long series is looked through for sums.
const footerRows = 32

// adding looks for rows that are sums or means of those above.
type adding struct {
	*table
	measured   []addend
	named      []int    // the columns of words that are filled nearly everywhere
	textual    []bool   // of each of named: whether its cells mostly hold a digit
	common     [][]bool // of each of named, a category: whether a level is one of specimens
	categories []int
	runs       []int  // of each category: where the level of the row above begins
	before     int    // the row above that is no sum, -1 at the top
	footer     int    // where the rows just above begin that look apart; the row itself without any
	looks      []bool // whether a row looks apart
	strange    int    // how many do
	gap        int    // the first row after the latest blank line
	found      []Remark
}

// addend is a number column that may be summed up.
type addend struct {
	place    int
	values   []float64
	sums     []float64 // of the rows before each, sums of others left out
	there    []int     // how many of those have a value
	median   float64
	sd       float64
	digits   int // most decimals of any cell
	sorted   []float64
	counting bool // it numbers the rows
}

// sums finds the rows that are sums, means and the like of rows above them, by arithmetic alone:
// what a row is called does not matter.
func sums(t *table) []Remark {
	a := &adding{table: t, before: -1}
	first := 0
	if t.quick {
		if first = t.rows - footerRows; !t.strangeFooter(first) {
			return nil
		}
	}
	a.prepare()
	if len(a.measured) == 0 {
		return nil
	}
	for row := range t.rows {
		parallel.LookAt(t.ctx, row)
		if a.looks[row] = a.apart(row); a.looks[row] {
			a.strange++
		}
	}
	for row := range t.rows {
		parallel.LookAt(t.ctx, row)
		if row > 0 && t.f.Line(row) > t.f.Line(row-1)+1 {
			a.gap = row
		}
		taken := false
		if row < max(first, 2) {
			a.footer = row + 1
		} else {
			taken = a.consider(row)
		}
		a.pass(row, taken)
	}
	a.found = lists.Where(a.found, func(r Remark) bool { return !a.ofRareLevel(r) })
	a.neighbours()
	for i := range a.found {
		r := &a.found[i]
		if _, r.Aside = t.f.Aside(r.Rows[0]); !r.Aside {
			t.out[r.Rows[0]] = true
			t.counts = make([][]int, len(t.columns)) // of levels, to be counted anew
		}
	}
	slices.SortFunc(a.found, func(x, y Remark) int { return x.Rows[0] - y.Rows[0] })
	return a.found
}

// strangeFooter reports whether a long series could end in sums: a cell is missing in its last rows where
// few are, or its largest number stands there.
func (t *table) strangeFooter(first int) bool {
	for i, c := range t.columns {
		if c.Role == frames.Specimen {
			continue
		}
		e := t.extent(i)
		for row := first; row < t.rows; row++ {
			if _, there := t.f.Cell(c.Name, row); !there && e.Missing <= footerRows {
				return true
			}
			if c.Kind == frames.Number && e.Most > 0 && t.f.Number(c.Name, row) == e.Most &&
				e.Most > 100*t.largestAtTop(c.Name) {
				return true
			}
		}
	}
	return false
}

// largestAtTop is the largest size of a column's first numbers.
func (t *table) largestAtTop(column string) (most float64) {
	for row := range min(t.rows, footerRows) {
		if x := math.Abs(t.f.Number(column, row)); x > most {
			most = x
		}
	}
	return most
}

// extent is the extent of a column, as it was read where that is known.
func (t *table) extent(column int) frames.Extent {
	if r := t.f.Reading(); r != nil && r.Extents != nil && len(r.Extents) == len(t.columns) &&
		t.columns[column].Kind == frames.Number {
		return r.Extents[column]
	}
	return t.f.Extent(t.ctx, t.columns[column].Name)
}

func (a *adding) prepare() {
	a.looks = make([]bool, a.rows)
	a.categories = a.kind(frames.Category)
	a.runs = make([]int, len(a.categories))
	for _, i := range a.kind(frames.Number) {
		if a.columns[i].Role == frames.Specimen {
			continue
		}
		m := addend{place: i, values: a.number(i), sums: make([]float64, a.rows+1), there: make([]int, a.rows+1)}
		present, _ := a.part(i)
		m.counting = counts(present)
		for _, x := range present {
			if m.digits < 9 {
				m.digits = max(m.digits, min(decimals(x), 9))
			}
		}
		m.median, m.sd = spreadOf(a.ctx, present)
		m.sorted = present
		parallel.Sort(a.ctx, m.sorted)
		if len(present) >= 3 {
			a.measured = append(a.measured, m)
		}
	}
	for i, c := range a.columns {
		if c.Kind == frames.Number && c.Role != frames.Specimen {
			continue
		}
		if missing := a.extent(i).Missing; 5*missing > a.rows {
			continue
		}
		a.named = append(a.named, i)
		a.textual = append(a.textual, a.mostlyDigits(i))
		a.common = append(a.common, a.commonLevels(i))
	}
}

// counts reports whether numbers are 1, 2, 3, … or nearly so: all whole, each once, rising.
func counts(values []float64) bool {
	if len(values) < 3 {
		return false
	}
	rising := 0
	for i, x := range values {
		if x != math.Trunc(x) {
			return false
		}
		if i > 0 && x == values[i-1]+1 {
			rising++
		}
	}
	return 10*rising >= 8*(len(values)-1)
}

// mostlyDigits reports whether nearly every cell of a column of text has a digit in it.
func (a *adding) mostlyDigits(column int) bool {
	if a.columns[column].Kind == frames.Number {
		return true
	}
	with, all := 0, 0
	step := max(1, a.rows/2000)
	for row := 0; row < a.rows; row += step {
		if cell, there := a.f.Cell(a.columns[column].Name, row); there {
			all++
			if strings.ContainsFunc(cell, unicode.IsDigit) {
				with++
			}
		}
	}
	return all > 0 && 5*with >= 3*all
}

// commonLevels are the levels of a category that specimens have: more than a few, or two next to
// each other. nil of other columns.
func (a *adding) commonLevels(column int) []bool {
	if a.columns[column].Kind != frames.Category {
		return nil
	}
	n := make([]int, len(a.columns[column].Levels))
	common := make([]bool, len(n))
	before := -1
	for row, code := range a.code(column) {
		parallel.LookAt(a.ctx, row)
		if code >= 0 {
			n[code]++
			common[code] = common[code] || code == before
		}
		before = code
	}
	for i := range n {
		common[i] = common[i] || n[i] > max(2, a.rows/5)
	}
	return common
}

// apart reports whether a row's words are not those of a specimen: one of them is missing or one of
// its own, and none is a level that others have, but for that of the row above it (a group's).
func (a *adding) apart(row int) bool {
	odd := 0
	for k, i := range a.named {
		c := a.columns[i]
		switch c.Kind {
		case frames.Category:
			code := a.code(i)[row]
			switch {
			case code < 0 || !a.common[k][code] && !(a.textual[k] &&
				strings.ContainsFunc(c.Levels[code], unicode.IsDigit)):
				odd++
			case row == 0 || code != a.code(i)[row-1]:
				return false
			}
		default:
			cell, there := a.f.Cell(c.Name, row)
			if !there || a.textual[k] && !strings.ContainsFunc(cell, unicode.IsDigit) {
				odd++
			} else if a.textual[k] && c.Kind == frames.Text {
				return false
			}
		}
	}
	return odd > 0
}

// ofRareLevel reports whether a sum looked apart only by a level that other rows have too, most of which are
// no sums: that is a level which few specimens have.
func (a *adding) ofRareLevel(r Remark) bool {
	row, rare := r.Rows[0], false
	for k, i := range a.named {
		if c := a.columns[i]; c.Kind != frames.Category {
			if cell, there := a.f.Cell(c.Name, row); !there ||
				a.textual[k] && !strings.ContainsFunc(cell, unicode.IsDigit) {
				return false
			}
			continue
		}
		code := a.code(i)[row]
		if code < 0 {
			return false
		}
		if a.common[k][code] {
			continue
		}
		n, sums := 0, 0
		for other, also := range a.code(i) {
			parallel.LookAt(a.ctx, other)
			if also == code {
				n++
				if a.isFound(other) {
					sums++
				}
			}
		}
		if 2*sums > n {
			return false
		}
		rare = true
	}
	return rare
}

// pass adds a row to the running sums, with nothing where it is a sum itself.
func (a *adding) pass(row int, taken bool) {
	for k := range a.measured {
		m := &a.measured[k]
		m.sums[row+1], m.there[row+1] = m.sums[row], m.there[row]
		if x := m.values[row]; x == x && !taken {
			m.sums[row+1] += x
			m.there[row+1]++
		}
	}
	if taken {
		return
	}
	for k, i := range a.categories {
		if codes := a.code(i); a.before >= 0 && codes[row] != codes[a.before] {
			a.runs[k] = row
		}
	}
	a.before = row
}

// starts are where the rows above one may begin: at the top, after the latest sums, after a blank
// line, and where the level of the row above begins.
func (a *adding) starts(row int) []int {
	list := []int{0}
	add := func(at int) {
		if at < row-1 && !slices.Contains(list, at) {
			list = append(list, at)
		}
	}
	if n := len(a.found); n > 0 {
		last := a.found[n-1]
		add(last.Rows[0] + 1)
		add(last.First)
	}
	if a.gap < row {
		add(a.gap)
	}
	for _, at := range a.runs {
		add(at)
	}
	return list
}

func (a *adding) isFound(row int) bool {
	for i := len(a.found) - 1; i >= 0 && a.found[i].Rows[0] >= row; i-- {
		if a.found[i].Rows[0] == row {
			return true
		}
	}
	return false
}

// consider finds out whether a row is a sum or a mean of those above, and keeps the remark.
func (a *adding) consider(row int) bool {
	apart := a.looks[row]
	if !apart {
		defer func() { a.footer = row + 1 }()
	}
	atEnd := row >= a.rows-2
	if !apart && !a.outOfReach(row) && !atEnd {
		return false // a sum is larger than what it is made of
	}
	starts := a.starts(row)
	var best Remark
	least := 1.0
	ends := []int{row}
	if end := a.footer; end < row && end > 1 {
		ends = append(ends, end)
	}
	for _, trial := range trials(starts, ends) {
		for _, stat := range []Stat{Total, Mean} {
			r, p := a.fits(row, trial[0], trial[1], stat)
			enough := len(r.Columns) >= 2 || len(r.Columns) == 1 && apart
			if stat == Mean && !apart && !(atEnd && r.Of >= 4) || r.Of < 2 || !apart && r.Of < 3 {
				enough = false
			}
			if r.Of < 3 && len(r.Columns) < 3 {
				enough = false
			}
			p *= float64(2 * len(starts) * len(ends))
			limit := sureOfApart
			if !apart {
				p, limit = p*float64(a.rows), sureOfAny
			} else if a.strange > fewApart {
				p *= float64(a.strange) / fewApart
			}
			if enough && p < limit && p < least {
				best, least = r, p
			}
		}
	}
	if least == 1 {
		return false
	}
	a.found = append(a.found, best)
	return true
}

// outOfReach reports whether a row has a number far above those of its column.
func (a *adding) outOfReach(row int) bool {
	for k := range a.measured {
		m := &a.measured[k]
		if x := m.values[row]; m.median > 0 && x > 2*m.median && x >= m.sorted[(len(m.sorted)-1)*3/4] {
			return true
		}
	}
	return false
}

// trials are the starts with the ends that lie behind them.
func trials(starts, ends []int) (all [][2]int) {
	for _, end := range ends {
		for _, start := range starts {
			if start < end-1 {
				all = append(all, [2]int{start, end})
			}
		}
	}
	return all
}

// fits compares a row with a figure of those from start on, up to end, column by column: r names the columns
// that fit, p is the chance that a row's numbers do so by themselves. Where more columns do not fit
// than do, none counts.
func (a *adding) fits(row, start, end int, stat Stat) (r Remark, p float64) {
	r = Remark{Code: Sum, Rows: []int{row}, Stat: stat, First: start, Last: end - 1}
	for r.Last > start && a.isFound(r.Last) {
		r.Last--
	}
	for r.First < r.Last && a.isFound(r.First) {
		r.First++
	}
	p = 1
	against := 0
	for k := range a.measured {
		m := &a.measured[k]
		n := m.there[end] - m.there[start]
		x := m.values[row]
		if x != x || n < 2 || m.counting {
			continue
		}
		target := m.sums[end] - m.sums[start]
		wide := math.Pow(10, -float64(m.digits)) * (0.5 + 3*math.Sqrt(float64(n)/12)) // of rounded cells
		if stat == Mean {
			target /= float64(n)
			wide = 0.5*math.Pow(10, -float64(min(decimals(x), m.digits))) + 0.5*math.Pow(10, -float64(m.digits))
			if d := decimals(x); d > m.digits {
				wide = math.Pow(10, -float64(min(d, 12)))
			}
		}
		exact := 1e-9 * (math.Abs(target) + math.Abs(m.sums[row])*1e-3)
		off := math.Abs(x - target)
		switch {
		case off <= exact && stat == Total:
			p *= m.chance(target, math.Max(exact, 0.5*math.Pow(10, -float64(m.digits))))
		case off <= wide:
			p *= m.chance(target, wide)
		default:
			if x != float64(n) {
				against++
			}
			continue
		}
		r.Columns = append(r.Columns, a.columns[m.place].Name)
		r.Of = max(r.Of, n)
	}
	if against > len(r.Columns) {
		r.Columns = nil
	}
	return r, p * math.Pow(misfit, float64(against))
}

// chance is how likely a number of the column is within reach of target: by a normal density of its
// robust spread, or by how many of its numbers are.
func (m *addend) chance(target, within float64) float64 {
	from, _ := slices.BinarySearch(m.sorted, target-within)
	to, _ := slices.BinarySearch(m.sorted, math.Nextafter(target+within, math.Inf(1)))
	counted := float64(max(0, to-from-1)) / float64(len(m.sorted))
	normal := 0.0
	if m.sd > 0 {
		normal = math.Min(1, 2*within*0.4/m.sd)
		if math.Abs(target-m.median) > 5*m.sd {
			normal /= 1000
		}
	}
	return math.Max(math.Max(normal, counted), 1e-12)
}

// neighbours adds the rows next to sums that look apart too and are another figure of the same rows:
// the largest, the number, the standard deviation.
func (a *adding) neighbours() {
	for changed := true; changed; {
		changed = false
		for _, r := range slices.Clone(a.found) {
			for _, row := range []int{r.Rows[0] - 1, r.Rows[0] + 1} {
				if row <= r.First || row >= a.rows || slices.ContainsFunc(a.found,
					func(o Remark) bool { return o.Rows[0] == row }) || !a.looks[row] {
					continue
				}
				if next, ok := a.figure(row, r); ok {
					a.found = append(a.found, next)
					changed = true
				}
			}
		}
	}
}

// figure finds what a row next to a sum is of the same rows.
func (a *adding) figure(row int, beside Remark) (Remark, bool) {
	for _, stat := range figures {
		r := Remark{Code: Sum, Rows: []int{row}, Stat: stat, First: beside.First, Last: min(beside.Last, row-1)}
		against := 0
		for k := range a.measured {
			m := &a.measured[k]
			x := m.values[row]
			if x != x || m.counting {
				continue
			}
			var of []float64
			for i := r.First; i <= r.Last; i++ {
				if y := m.values[i]; y == y && !slices.ContainsFunc(a.found,
					func(o Remark) bool { return o.Rows[0] == i }) {
					of = append(of, y)
				}
			}
			if stat.is(x, of, m.digits) {
				r.Columns, r.Of = append(r.Columns, a.columns[m.place].Name), max(r.Of, len(of))
			} else {
				against++
			}
		}
		if len(r.Columns) > against {
			return r, true
		}
	}
	return Remark{}, false
}

// is reports whether a number is the figure of others, rounded as it is written.
func (s Stat) is(x float64, of []float64, digits int) bool {
	n := float64(len(of))
	if n < 2 {
		return false
	}
	total, squares := 0.0, 0.0
	for _, y := range of {
		total += y
	}
	mean := total / n
	for _, y := range of {
		squares += (y - mean) * (y - mean)
	}
	sd := math.Sqrt(squares / (n - 1))
	sorted := slices.Sorted(slices.Values(of))
	half := 0.51 * math.Pow(10, -float64(decimals(x)))
	near := func(values ...float64) bool {
		return slices.ContainsFunc(values, func(y float64) bool { return math.Abs(x-y) <= half+1e-9*math.Abs(y) })
	}
	switch s {
	case Total:
		return math.Abs(x-total) <= math.Pow(10, -float64(digits))*(0.5+3*math.Sqrt(n/12))
	case Mean:
		return near(mean)
	case Median:
		return near((sorted[(len(of)-1)/2] + sorted[len(of)/2]) / 2)
	case SD:
		return near(sd, sd*math.Sqrt((n-1)/n))
	case Variance:
		return near(sd*sd, sd*sd*(n-1)/n)
	case StdError:
		return near(sd / math.Sqrt(n))
	case CV:
		return near(sd/mean, 100*sd/mean)
	case Least:
		return x == sorted[0]
	case Most:
		return x == sorted[len(of)-1]
	case Range:
		return near(sorted[len(of)-1] - sorted[0])
	case Count:
		return x == n
	}
	return false
}
