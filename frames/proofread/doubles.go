package proofread

import (
	"cmp"
	"hash/maphash"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
)

// sureOfDouble is below which expected number of accidental pairs a pair of rows alike is said to be
// one row entered twice.
const sureOfDouble = 0.01

// likeness gives rows of equal cells equal keys.
type likeness struct {
	*table
	seed maphash.Seed
	keys [][]uint64 // of each column, one a row
}

// key is a column's cells as numbers: equal for equal cells, 1 where missing.
func (l *likeness) key(column int) []uint64 {
	if l.keys[column] != nil {
		return l.keys[column]
	}
	keys := make([]uint64, l.rows)
	c := l.columns[column]
	switch c.Kind {
	case frames.Number:
		for row, x := range l.number(column) {
			parallel.LookAt(l.ctx, row)
			if keys[row] = 1; x == x {
				keys[row] = mix(math.Float64bits(x + 0))
			}
		}
	case frames.Category:
		for row, code := range l.code(column) {
			parallel.LookAt(l.ctx, row)
			keys[row] = mix(uint64(code + 2))
		}
	default:
		for row := range keys {
			parallel.LookAt(l.ctx, row)
			if cell, there := l.f.Cell(c.Name, row); there {
				keys[row] = maphash.String(l.seed, cell)
			} else {
				keys[row] = 1
			}
		}
	}
	l.keys[column] = keys
	return keys
}

// mix spreads the bits of a key (the finisher of splitmix64, G. L. Steele, D. Lea and C. H. Flood,
// Fast splittable pseudorandom number generators, OOPSLA 2014).
func mix(x uint64) uint64 {
	x ^= x >> 30
	x *= 0xbf58476d1ce4e5b9
	x ^= x >> 27
	x *= 0x94d049bb133111eb
	return x ^ x>>31
}

// alike groups the rows that take part by their cells in some columns; groups of one are left out.
func (l *likeness) alike(columns []int) [][]int {
	sums := make([]uint64, l.rows)
	for k, i := range columns {
		for row, key := range l.key(i) {
			parallel.LookAt(l.ctx, row)
			sums[row] = mix(sums[row]*31 + key + uint64(k))
		}
	}
	first := make(map[uint64]int, l.rows) // of a key: its row, or the group it has grown to, as -1-group
	var groups [][]int
	for row, sum := range sums {
		parallel.LookAt(l.ctx, row)
		if l.out[row] {
			continue
		}
		switch at, met := first[sum]; {
		case !met:
			first[sum] = row
		case at >= 0:
			first[sum] = -1 - len(groups)
			groups = append(groups, []int{at, row})
		default:
			groups[-1-at] = append(groups[-1-at], row)
		}
	}
	return groups
}

// doubles finds rows that were entered twice: alike in every column, the name too; or in every column
// but the name, where that many numbers do not agree by chance.
func doubles(t *table) []Remark {
	if t.quick || t.rows < 3 {
		return nil
	}
	l := &likeness{table: t, seed: maphash.MakeSeed(), keys: make([][]uint64, len(t.columns))}
	var all, unnamed []int
	name := t.nameColumn()
	for i, c := range t.columns {
		if c.Role == frames.Order || c.Kind == frames.Number && i != name && t.numbersRows(i) {
			continue
		}
		all = append(all, i)
		if i != name {
			unnamed = append(unnamed, i)
		}
	}
	fine := l.fine(unnamed)
	var out []Remark
	if name >= 0 {
		for _, g := range l.alike(all) {
			if l.filled(all, g[0]) >= 2 && l.named(name, g[0]) && len(fine) > 0 {
				out = append(out, Remark{Code: RowTwice, Rows: g})
			}
		}
	}
	if len(fine) == 0 || 20*len(out) > t.rows {
		return out
	}
	if name >= 0 && l.sampled(name) { // one name stands for several specimens
		return out
	}
	same := l.alike(unnamed)
	same = slices.DeleteFunc(same, func(g []int) bool {
		return slices.ContainsFunc(out, func(r Remark) bool { return r.Rows[0] == g[0] }) || !l.measured(fine, g[0])
	})
	if again := l.pasted(same); len(again) > 0 {
		same = again
	} else if len(same) == 0 || 10*len(same) > t.rows || l.byChance(unnamed, fine, pairs(same)) > sureOfDouble {
		return out
	}
	for _, g := range same {
		r := Remark{Code: RowTwice, Rows: g}
		if name >= 0 {
			r.Column = t.columns[name].Name
		}
		out = append(out, r)
	}
	return out
}

// sampled reports whether a column's values mostly come more than once.
func (l *likeness) sampled(column int) bool {
	in := 0
	for _, g := range l.alike([]int{column}) {
		in += len(g)
	}
	return 4*in > l.rows
}

// numbersRows reports whether a column of numbers just counts the rows.
func (t *table) numbersRows(column int) bool {
	values, _ := t.part(column)
	return counts(values)
}

func (l *likeness) filled(columns []int, row int) (n int) {
	for _, i := range columns {
		if _, there := l.f.Cell(l.columns[i].Name, row); there {
			n++
		}
	}
	return n
}

func (l *likeness) named(column, row int) bool {
	_, there := l.f.Cell(l.columns[column].Name, row)
	return there
}

// measured reports whether a row has a value in some fine column.
func (l *likeness) measured(fine []finely, row int) bool {
	return slices.ContainsFunc(fine, func(c finely) bool { x := l.number(c.place)[row]; return x == x })
}

func pairs(groups [][]int) (n int) {
	for _, g := range groups {
		n += len(g) * (len(g) - 1) / 2
	}
	return n
}

// finely is a measured column with the chance that two of its numbers agree.
type finely struct {
	place int
	same  float64
}

// fine are the number columns in which two rows seldom agree, the finest first, each no more than
// loosely tied to those before it.
func (l *likeness) fine(columns []int) (list []finely) {
	for _, i := range columns {
		if l.columns[i].Kind != frames.Number {
			continue
		}
		values, _ := l.part(i)
		if len(values) < 3 {
			continue
		}
		agree := 0.0
		sorted := slices.Clone(values)
		parallel.Sort(l.ctx, sorted)
		for at := 0; at < len(sorted); {
			end := at
			for end < len(sorted) && sorted[end] == sorted[at] {
				end++
			}
			agree += float64(end-at) * float64(end-at-1)
			at = end
		}
		agree /= float64(len(sorted)) * float64(len(sorted)-1)
		digits := 0
		for _, x := range values[:min(len(values), 1000)] {
			digits = max(digits, min(decimals(x), 9))
		}
		// of a normal spread s and a step u, two agree with chance u/(2s√π); within groups s is narrower, by
		// half say
		_, sd := spreadOf(l.ctx, values)
		step := math.Pow(10, -float64(digits))
		if by := 2 * step / (2 * math.Sqrt(math.Pi) * sd); by > agree {
			agree = by
		}
		if agree < 0.1 {
			list = append(list, finely{i, agree})
		}
	}
	slices.SortStableFunc(list, func(a, b finely) int { return cmp.Compare(a.same, b.same) })
	return list
}

// byChance is how many pairs of rows alike are expected to be so by chance: those alike in all but
// the finest columns, known pairs apart and one more for safety, times the chance that those agree.
func (l *likeness) byChance(columns []int, fine []finely, known int) float64 {
	least := math.Inf(1)
	chance := 1.0
	rest := columns
	var used []int
	for _, c := range fine {
		if slices.ContainsFunc(used, func(o int) bool { return l.tied(o, c.place) }) {
			continue
		}
		used = append(used, c.place)
		chance *= c.same
		rest = slices.DeleteFunc(slices.Clone(rest), func(i int) bool {
			return i == c.place || l.tied(i, c.place) && l.columns[i].Kind == frames.Number && !slices.Contains(used, i)
		})
		near := float64(l.rows) * float64(l.rows) / 2
		if len(rest) > 0 {
			near = float64(max(0, pairs(l.alike(rest))-known)) + 1
		}
		if len(used) <= 3 {
			least = math.Min(least, near*chance)
		}
	}
	return least
}

// tied reports whether two number columns vary together: a correlation over one half.
func (l *likeness) tied(a, b int) bool {
	if l.columns[a].Kind != frames.Number || l.columns[b].Kind != frames.Number {
		return false
	}
	var n, sx, sy, sxx, syy, sxy float64
	y := l.number(b)
	for row, x := range l.number(a) {
		if l.out[row] || x != x || y[row] != y[row] {
			continue
		}
		n++
		sx, sy, sxx, syy, sxy = sx+x, sy+y[row], sxx+x*x, syy+y[row]*y[row], sxy+x*y[row]
	}
	vx, vy := sxx-sx*sx/n, syy-sy*sy/n
	if !(vx > 0) || !(vy > 0) {
		return false
	}
	c := sxy - sx*sy/n
	return c*c > 0.25*vx*vy
}

// names finds specimen names that stand for more than one row, where most stand for one.
func names(t *table) (all []Remark) {
	name := t.nameColumn()
	if t.quick || name < 0 || t.rows < 4 {
		return nil
	}
	l := &likeness{table: t, seed: maphash.MakeSeed(), keys: make([][]uint64, len(t.columns))}
	by := []int{name}
	for i, c := range t.columns {
		if c.Name == frames.SeriesColumn && i != name {
			by = append(by, i)
		}
	}
	twice := 0
	for _, g := range l.alike(by) {
		word, there := t.f.Cell(t.columns[name].Name, g[0])
		if !there {
			continue
		}
		twice += len(g) - 1
		all = append(all, Remark{Code: NameTwice, Column: t.columns[name].Name, Rows: g, Word: word})
	}
	if 4*twice > t.rows {
		return nil
	}
	return all
}
