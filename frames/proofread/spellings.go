package proofread

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"breakbook/frames"
	"breakbook/frames/meant"
	"breakbook/frames/notation"
	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// mostCompared is how many levels a column may have to be compared two by two.
const mostCompared = 300

// spellings finds levels that look like one: the same but for case, blanks, hyphens or a plural, or
// for one or two letters where one of them is rare.
func spellings(t *table) (all []Remark) {
	for _, i := range t.kind(frames.Category) {
		parallel.Look(t.ctx)
		if t.columns[i].Role == frames.Specimen || i == t.nameColumn() {
			continue
		}
		all = append(all, t.alikeLevels(i)...)
	}
	return all
}

func (t *table) alikeLevels(column int) (all []Remark) {
	levels := t.columns[column].Levels
	group := make([]int, len(levels)) // the first level of each one's group
	for i := range group {
		group[i] = i
	}
	join := func(a, b int) {
		a, b = group[a], group[b]
		for i := range group {
			if group[i] == max(a, b) {
				group[i] = min(a, b)
			}
		}
	}
	any := false
	first := map[string]int{}
	for i, l := range levels {
		key := t.plain(l)
		if at, met := first[key]; met && key != "" {
			join(at, i)
			any = true
		} else {
			first[key] = i
		}
	}
	if len(levels) <= mostCompared {
		for i := range levels {
			parallel.Look(t.ctx)
			for j := range i {
				if group[i] != group[j] && near(levels[i], levels[j]) && t.rare(column, i, j, group) {
					join(i, j)
					any = true
				}
			}
		}
	}
	if !any {
		return nil
	}
	n := t.count(column)
	codes := t.code(column)
	met := make([]int, len(levels)) // the first row of each level
	for row := len(codes) - 1; row >= 0; row-- {
		parallel.LookAt(t.ctx, row)
		if codes[row] >= 0 {
			met[codes[row]] = row
		}
	}
	members := map[int][]int{}
	for i := range levels {
		if n[i] > 0 {
			members[group[i]] = append(members[group[i]], i)
		}
	}
	for head := range levels {
		of := members[head]
		if len(of) < 2 {
			continue
		}
		slices.SortFunc(of, func(a, b int) int { return cmp.Or(cmp.Compare(n[b], n[a]), cmp.Compare(met[a], met[b])) })
		r := Remark{Code: Alike, Column: t.columns[column].Name}
		for _, i := range of {
			r.Levels, r.Counts = append(r.Levels, levels[i]), append(r.Counts, n[i])
		}
		for row, code := range codes {
			if code >= 0 && !t.out[row] && slices.Contains(of[1:], code) {
				r.Rows = append(r.Rows, row)
			}
		}
		all = append(all, r)
	}
	return all
}

// plain is a level without what two spellings of one differ by: case, blanks and hyphens, a plural.
// A number keeps its form: 1.5 and 15 are not alike, nor are A1 and A-1 where letters are few.
func (t *table) plain(level string) string {
	if _, number := t.f.NumberIn(level); number {
		return strings.ToLower(strings.Join(strings.Fields(level), ""))
	}
	var b strings.Builder
	letters := 0
	for _, r := range strings.ToLower(level) {
		switch {
		case unicode.IsLetter(r):
			letters++
			b.WriteRune(r)
		case unicode.IsSpace(r) || r == '-' || r == '_' || r == '\u00ad' || r == '\u2010' || r == '\u2011' || r == '.':
		default:
			b.WriteRune(r)
		}
	}
	s := b.String()
	if letters < 2 {
		return level
	}
	if letters >= 4 {
		if strings.HasSuffix(s, "es") && letters >= 6 && strings.ContainsAny(s[len(s)-3:len(s)-2], "hsx") {
			return s[:len(s)-2]
		}
		if strings.HasSuffix(s, "s") && !strings.HasSuffix(s, "ss") {
			return s[:len(s)-1]
		}
	}
	return s
}

// near reports whether two levels differ by a letter, from some four letters on, or two, from seven on;
// two neighbours swapped are one. What has a digit is a code, and never near another.
func near(a, b string) bool {
	a, b = strings.ToLower(a), strings.ToLower(b)
	n := utf8.RuneCountInString(a) + utf8.RuneCountInString(b)
	most := 0
	switch {
	case n >= 14:
		most = 2
	case n >= 7:
		most = 1
	}
	if most == 0 || len(a)+len(b) > 400 || strings.ContainsFunc(a+b, unicode.IsDigit) {
		return false
	}
	if d := utf8.RuneCountInString(a) - utf8.RuneCountInString(b); d > most || d < -most {
		return false
	}
	return meant.Edits(a, b) <= most
}

// rare reports whether one of two levels, with those already joined to it, is met far less often than
// the other: once or twice beside four times as many.
func (t *table) rare(column, a, b int, group []int) bool {
	n := t.count(column)
	of := func(level int) (sum int) {
		for i, g := range group {
			if g == group[level] {
				sum += n[i]
			}
		}
		return sum
	}
	few, many := n[a], of(b)
	if n[b] < n[a] {
		few, many = n[b], of(a)
	}
	return few > 0 && few <= max(2, many/20) && many >= 3*few
}

// almostNumbers finds columns of words that are numbers but for a few.
func almostNumbers(t *table) (all []Remark) {
	for _, c := range t.columns {
		if c.Kind == frames.Number || c.Role == frames.Specimen || c.Role == frames.Failure ||
			notation.NamesSpecimens(c.Name) {
			continue
		}
		step := 1
		if t.quick {
			step = max(1, t.rows/1000)
		}
		r := Remark{Code: AlmostNum, Column: c.Name}
		numbers, others := 0, 0
		for row := 0; row < t.rows; row += step {
			parallel.LookAt(t.ctx, row)
			cell, there := t.f.Cell(c.Name, row)
			if !there || t.out[row] {
				continue
			}
			if _, ok := t.f.NumberIn(cell); ok {
				if numbers++; code(cell) {
					numbers = -t.rows // codes with leading zeros: no number is meant
				}
			} else if notation.List(cell) {
				numbers = -t.rows // lists of numbers: no single one is meant
			} else if others++; len(r.Rows) < 100 {
				if r.Rows = append(r.Rows, row); r.Word == "" {
					r.Word = cell
				}
			}
			if others > 20 && others > numbers {
				break
			}
		}
		if others > 0 && numbers >= 4 && numbers >= 4*others {
			r.Of = numbers
			all = append(all, r)
		}
	}
	return all
}

// code reports whether a cell is a number with a zero before it, such as 007.
func code(cell string) bool {
	return len(cell) > 1 && cell[0] == '0' && cell[1] >= '0' && cell[1] <= '9'
}

// loneLevels finds levels that one specimen has, where the others have three and more.
func loneLevels(t *table) (all []Remark) {
	if t.quick {
		return nil
	}
	odd := map[string]bool{} // told as misspellings
	for _, r := range spellings(t) {
		for _, l := range r.Levels {
			odd[r.Column+"\x00"+l] = true
		}
	}
	for _, i := range t.kind(frames.Category) {
		c := t.columns[i]
		switch c.Role {
		case frames.Specimen, frames.Failure, frames.Block, frames.Result, frames.Order:
			continue
		}
		if notation.NamesSpecimens(c.Name) || notation.Says(c.Name, notation.CountWords) || t.dated(c.Levels) ||
			coded(c.Levels) {
			continue
		}
		lone, more, few := -1, 0, 0
		for code, n := range t.count(i) {
			switch {
			case n == 1:
				few++
				lone = code
			case n == 2:
				few = 2
			case n >= 3:
				more++
			}
		}
		if few != 1 || more < 2 || 5*t.extent(i).Missing > t.rows || odd[c.Name+"\x00"+c.Levels[lone]] {
			continue
		}
		row := slices.Index(t.code(i), lone)
		for t.out[row] {
			row += 1 + slices.Index(t.code(i)[row+1:], lone)
		}
		all = append(all, Remark{Code: LoneLevel, Column: c.Name, Rows: []int{row}, Word: c.Levels[lone]})
	}
	return all
}

// coded reports whether most levels have a digit, as the numbers of boards and days do.
func coded(levels []string) bool {
	n := lists.Count(levels, func(l string) bool { return strings.ContainsFunc(l, unicode.IsDigit) })
	return 2*n > len(levels)
}

// loaded reports whether a table has loads, and so is a series of specimens and no list of something else.
func (t *table) loaded() bool {
	return slices.ContainsFunc(t.columns, func(c frames.Column) bool {
		return c.Role == frames.Load || c.Unit.Dimension() == "force" || notation.NamesLoad(c.Name)
	})
}

// oneValue finds columns that hold one value wherever they hold any, from four specimens on, where
// something could be compared by them: in a series with loads.
func oneValue(t *table) (all []Remark) {
	if !t.loaded() {
		return nil
	}
	for i, c := range t.columns {
		if c.Role == frames.Specimen || c.Name == frames.SeriesColumn {
			continue
		}
		r := Remark{Code: OneValue, Column: c.Name}
		switch c.Kind {
		case frames.Category:
			at, met := -1, 0
			if len(c.Levels) > 3 || t.quick && len(c.Levels) != 1 {
				continue
			}
			for code, n := range t.count(i) {
				if n > 0 {
					at, met = code, met+1
					r.Of = n
				}
			}
			if met != 1 {
				continue
			}
			r.Word = c.Levels[at]
		case frames.Number:
			if t.quick {
				if e := t.extent(i); e.Least != e.Most {
					continue
				}
			}
			same, first := true, 0.0
			for row, x := range t.number(i) {
				parallel.LookAt(t.ctx, row)
				if x != x || t.out[row] {
					continue
				}
				if r.Of == 0 {
					first = x
					r.Word, _ = t.f.Cell(c.Name, row)
				}
				r.Of++
				if same = x == first; !same {
					break
				}
			}
			if !same {
				continue
			}
		default:
			continue
		}
		if r.Of >= 4 && 2*r.Of > t.rows {
			all = append(all, r)
		}
	}
	return all
}
