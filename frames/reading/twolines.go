package reading

import (
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
)

// A header may stand in two lines: names of groups, each over the names of several
// columns. A merged cell comes as one name and empty cells after it, so that a name goes
// on over the empty cells to its right.

// heading is the upper line of such a header.
type heading struct {
	line   int      // 0 for none
	groups []string // the name over each column, filled along; "" for none
	joined []bool   // of each column, whether that name is a part of its own
	start  []bool   // whether the name stands in this column itself
}

// upperName is the name that stands over a column.
func (h heading) upperName(column int) string {
	if column < len(h.groups) {
		return h.groups[column]
	}
	return ""
}

// twoLines looks for a header of two lines and gives the records of both. Where the lower
// line names every column, the upper one stands directly above the header that was found;
// else the upper line names columns too, and the header is not known yet.
func (s sampled) twoLines() (upper, lower int, ok bool) {
	if len(s.records) < 3 {
		return 0, 0, false
	}
	if s.header > 0 {
		upper, lower = s.nameLine(s.header-1, -1), s.header
		return upper, lower, upper >= 0 && s.lines[lower]-s.lines[upper] == lower-upper && s.groupsAbove(upper, lower)
	}
	w := s.usualWidth()
	for upper = range min(len(s.records)-2, mostPreamble) {
		if lower = s.nameLine(upper+1, 1); lower >= 0 && s.groupsWithin(upper, lower) {
			return upper, lower, true
		}
		if above := s.records[upper]; width(above) >= w && !remarkLine(above) && !s.onlyUnits(upper) {
			break
		}
	}
	return 0, 0, false
}

// nameLine is the record from i on, in steps of one, that may hold names: one of units is
// stepped over. It is -1 where there is none.
func (s sampled) nameLine(i, step int) int {
	if i >= 0 && i < len(s.records) && s.onlyUnits(i) {
		i += step
	}
	if i < 0 || i >= len(s.records)-1 || s.onlyUnits(i) || slices.Contains(s.numbers[i], true) {
		return -1
	}
	return i
}

// groupsWithin tells whether record upper names columns and groups of columns, and lower
// the columns of the groups. At least one name stands over two columns or more, numbers
// under one of them.
func (s sampled) groupsWithin(upper, lower int) bool {
	if remarkLine(s.records[upper]) || slices.Contains(s.numbers[upper], true) || s.onlyUnits(upper) {
		return false
	}
	numbers, met := s.kindsBelow(lower)
	spans := s.spans(upper, lower, numbers)
	if filled(s.records[upper]) == 1 && s.titled(upper, lower, spans, numbers) {
		return false
	}
	needed := false // the upper line names a column that the lower does not
	for j := range numbers {
		needed = needed || met[j] && s.at(upper, j) != "" && s.at(lower, j) == ""
	}
	if !needed && s.keyed(upper, lower, spans) {
		return false
	}
	wide := false
	for _, g := range spans {
		long := g.end-g.first > 1
		for j := g.first; j < g.end; j++ {
			sub := s.at(lower, j)
			wide = wide || long && numbers[j]
			if sub != "" && !long && strings.ContainsAny(sub, "0123456789") {
				return false
			}
		}
	}
	for j := range numbers { // a word that is met again below, or means nothing, is no name
		if sub := s.at(lower, j); sub != "" && (s.recurs(lower, j) || noValue.is(sub)) {
			return false
		}
	}
	return wide
}

// groupsAbove tells whether record upper, above the header, holds names of groups and not
// a title or what else stands above a table: every name is over two columns or more, but
// for some in their midst.
func (s sampled) groupsAbove(upper, lower int) bool {
	if remarkLine(s.records[upper]) {
		return false
	}
	numbers, _ := s.kindsBelow(lower)
	spans := s.spans(upper, lower, numbers)
	longest := 0
	for _, g := range spans {
		longest = max(longest, g.end-g.first)
	}
	switch {
	case longest < 2 || s.keyed(upper, lower, spans):
		return false
	case len(spans) > 1:
		return true
	}
	return !s.titled(upper, lower, spans, numbers)
}

// keyed tells whether the upper line begins with a word and what it is of the whole table
// (Operator, Jo): a name of its own over a first column that has one, unless it is what
// tables of tests begin with, over no groups but of mere properties.
func (s sampled) keyed(upper, lower int, spans []group) bool {
	if spans[0].first > 0 || spans[0].end > 1 || s.at(lower, 0) == "" {
		return false
	}
	for _, g := range spans[1:] {
		for j := g.first; j < g.end; j++ {
			if g.end-g.first > 1 && s.hasRole(lower, j) {
				return true
			}
		}
	}
	return !s.hasRole(upper, 0) && !notation.Says(s.at(upper, 0), notation.CountWords)
}

// titled tells whether the only name of the upper line is a title of the table and no name
// of a group: it stands first, is long, or is over words or a column that says what it is for.
func (s sampled) titled(upper, lower int, spans []group, numbers []bool) bool {
	g := spans[0]
	title := g.first == 0 || len(strings.Fields(s.at(upper, g.first))) > 3
	for j := g.first; j < g.end; j++ {
		title = title || !numbers[j] || s.hasRole(lower, j)
	}
	return title
}

// group is a name of the upper line and the columns under it, from first to before end.
type group struct{ first, end int }

// spans are the groups of the upper line. A name goes on over the empty cells after it as
// far as there are names below. Where nothing shows how far the last one goes, it is as
// wide as the widest of the others, and alone it ends where numbers end.
func (s sampled) spans(upper, lower int, numbers []bool) []group {
	var all []group
	n := max(width(s.records[upper]), width(s.records[lower]))
	for j := 0; j < n; j++ {
		if s.at(upper, j) == "" {
			continue
		}
		g := group{j, j + 1}
		for s.at(lower, j) != "" && g.end < n && s.at(upper, g.end) == "" && s.at(lower, g.end) != "" {
			g.end++
		}
		all, j = append(all, g), g.end-1
	}
	if len(all) == 0 {
		return nil
	}
	last := &all[len(all)-1]
	widest := 0
	for _, g := range all[:len(all)-1] {
		widest = max(widest, g.end-g.first)
	}
	if widest > 1 {
		last.end = min(last.end, last.first+widest)
		return all
	}
	for j := last.first + 1; j < last.end; j++ {
		if numbers[j] != numbers[last.first] {
			last.end = j
		}
	}
	return all
}

// at is a trimmed cell, "" beyond the end of its record.
func (s sampled) at(record, column int) string {
	if column >= len(s.records[record]) {
		return ""
	}
	return notation.Trim(s.records[record][column])
}

// kindsBelow tells which columns hold nearly only numbers or dates below a record, and
// which hold anything, as far as the widest record goes.
func (s sampled) kindsBelow(record int) (numbers, filled []bool) {
	n := 0
	for _, r := range s.records {
		n = max(n, len(r))
	}
	numbers, filled = make([]bool, n), make([]bool, n)
	met, of := make([]int, n), make([]int, n)
	for k := record + 1; k < len(s.records); k++ {
		if s.onlyUnits(k) {
			continue
		}
		for j := range s.records[k] {
			if s.at(k, j) == "" {
				continue
			}
			if met[j]++; s.numbers[k][j] {
				of[j]++
			}
		}
	}
	for j := range n {
		numbers[j], filled[j] = of[j] > 0 && of[j]*5 >= met[j]*4, met[j] > 0
	}
	return numbers, filled
}

// recurs tells whether what a record has in a column is met again below it.
func (s sampled) recurs(record, column int) bool {
	word := s.at(record, column)
	for k := record + 1; k < len(s.records); k++ {
		if s.at(k, column) == word {
			return true
		}
	}
	return false
}

// hasRole tells whether the name of a column says what it is for.
func (s sampled) hasRole(record, column int) bool {
	label, _ := notation.SplitHeader(s.at(record, column))
	return saysRole(notation.PlainName(label))
}

// heading makes the upper line of a header: which name is over which column, and whether
// it becomes a part of the column's own. It does not where a name below says what its
// column is for, or where the same names stand under every group: those are blocks.
func (s sampled) heading(upper, lower int) heading {
	numbers, _ := s.kindsBelow(lower)
	h := heading{line: s.lines[upper], groups: make([]string, len(numbers)), joined: make([]bool, len(numbers)),
		start: make([]bool, len(numbers))}
	spans := s.spans(upper, lower, numbers)
	blocks := s.sameBelow(lower, spans, numbers)
	for _, g := range spans {
		joined := !blocks
		for j := g.first; j < g.end && joined; j++ {
			joined = !s.hasRole(lower, j)
		}
		for j := g.first; j < g.end; j++ {
			h.groups[j], h.joined[j], h.start[j] = s.at(upper, g.first), joined || s.at(lower, j) == "", j == g.first
		}
	}
	return h
}

// sameBelow tells whether the same names stand under two groups or more, and are more than
// sizes of the same kind: one of the columns holds words.
func (s sampled) sameBelow(lower int, spans []group, numbers []bool) bool {
	var first group
	times, words := 0, false
	for _, g := range spans {
		if g.end-g.first < 2 {
			continue
		}
		if times == 0 {
			first = g
		}
		if g.end-g.first != first.end-first.first {
			return false
		}
		for j := range g.end - g.first {
			if !strings.EqualFold(s.at(lower, first.first+j), s.at(lower, g.first+j)) {
				return false
			}
			words = words || !numbers[g.first+j]
		}
		times++
	}
	return times > 1 && words
}

// preamble says how many records above the header are neither its upper line nor its units.
func (s sampled) preamble(upper, units int) []frames.Remark {
	at, count := -1, 0
	for i := range s.header {
		if s.lines[i] == upper || s.lines[i] == units {
			continue
		}
		if count++; at < 0 {
			at = i
		}
	}
	if count == 0 {
		return nil
	}
	return []frames.Remark{{Code: "preamble", Line: s.lines[at], Word: Shortened(notation.Trim(s.records[at][0])),
		Count: count}}
}

// lineAbove is the heading that a header given by its line has above it: only where a cell
// of the header is empty does the line above it name the column.
func (t *table) lineAbove(whole source, separator byte) heading {
	line := t.overrides.HeaderRow - 1
	if line < 1 {
		return heading{}
	}
	from, err := whole.from(line, "header row")
	if err != nil {
		return heading{}
	}
	s := sample(from, separator)
	if len(s.records) < 2 || s.lines[1] != line+1 || filled(s.records[0]) < 2 || remarkLine(s.records[0]) ||
		s.onlyUnits(0) {
		return heading{}
	}
	h := heading{line: line}
	named := false
	for j := range s.records[1] {
		name := ""
		if s.at(1, j) == "" && !(j < len(s.numbers[0]) && s.numbers[0][j]) {
			name = s.at(0, j)
		}
		named = named || name != ""
		h.groups, h.joined, h.start = append(h.groups, name), append(h.joined, name != ""), append(h.start, name != "")
	}
	if !named {
		return heading{}
	}
	return h
}

// joinHeader puts the names of the upper line before those of the header that they are a
// part of, and says so once.
func (t *table) joinHeader(header []string) []string {
	if t.heading.line == 0 {
		return header
	}
	out := slices.Clone(header)
	for i, own := range header {
		if over := t.heading.upperName(i); over != "" && t.heading.joined[i] {
			out[i] = strings.TrimSpace(over + " " + notation.Trim(own))
		}
	}
	return out
}

// groupColumns notes over each column the name of its group, and says which names were put
// together of two lines.
func (t *table) groupColumns(header []string) {
	said := false
	for i, c := range t.rows.columns {
		over := t.heading.upperName(i)
		if over == "" || notation.Trim(header[i]) == "" {
			continue
		}
		c.Group = over
		if t.heading.joined[i] && !said {
			said = true
			t.remarks = append(t.remarks, frames.Remark{Code: "two-line-header", Column: c.Name, Line: t.rows.header,
				Word: Shortened(over)})
		}
	}
}

// unitsAnywhere is the line among the first few that holds only units: the one after the
// header first, then one a little below, then one above; 0 where there is none.
func (s sampled) unitsAnywhere() int {
	if line := s.unitsLine(); line > 0 {
		return line
	}
	numbers, _ := s.kindsBelow(s.header)
	fits := func(i int) bool {
		if i < 0 || i >= len(s.records)-1 || !s.onlyUnits(i) || filled(s.records[i]) == 1 && s.at(i, 0) != "" {
			return false
		}
		for j, cell := range s.records[i] {
			if _, kind := unitCell(cell); kind == unitKnown && !numbers[j] {
				return false
			}
		}
		return true
	}
	for i := s.header + 1; i <= s.header+3; i++ {
		if fits(i) {
			return s.lines[i]
		}
	}
	for i := s.header - 1; i >= max(0, s.header-3); i-- {
		if fits(i) {
			return s.lines[i]
		}
	}
	return 0
}

// unitsOverNames tells whether record i holds only units and the next one names, with
// numbers under them: a row of units above its header.
func (s sampled) unitsOverNames(i int) bool {
	if !s.onlyUnits(i) || i+2 >= len(s.records) || s.onlyUnits(i+1) || filled(s.records[i]) == 1 && s.at(i, 0) != "" ||
		slices.Contains(s.numbers[i+1], true) {
		return false
	}
	numbers, _ := s.kindsBelow(i + 1)
	for j, cell := range s.records[i] {
		if _, kind := unitCell(cell); kind == unitKnown && (!numbers[j] || s.at(i+1, j) == "") {
			return false
		}
	}
	return true
}

// fillUnits gives a merged group's columns its one unit, where only its first has one, and marks those that got it so.
func (h heading) fillUnits(unitCells []string) (out []string, got []bool) {
	out, got = slices.Clone(unitCells), make([]bool, max(len(unitCells), len(h.groups)))
	for len(out) < len(h.groups) && len(out) > 0 {
		out = append(out, "")
	}
	for i := 0; i < len(h.groups) && i < len(out); {
		end := i + 1
		for end < len(h.groups) && h.groups[end] != "" && !h.start[end] {
			end++
		}
		if filled(out[i:end]) == 1 && notation.Trim(out[i]) != "" {
			for j := i + 1; j < end; j++ {
				out[j], got[j] = out[i], true
			}
		}
		i = end
	}
	return out, got
}
