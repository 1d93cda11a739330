package proofread

import (
	"context"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// table is a series taken apart into plain slices, each column when it is first asked for.
type table struct {
	ctx     context.Context // of the one reading
	f       *frames.Frame
	rows    int
	columns []frames.Column
	quick   bool
	out     []bool // rows that take no part: set aside, or sums of others

	numbers [][]float64 // NaN where missing; nil until asked for
	codes   [][]int     // -1 where missing
	counts  [][]int     // of each level, rows out of it apart
}

func newTable(ctx context.Context, f *frames.Frame, quick bool) *table {
	t := &table{ctx: ctx, f: f, rows: f.Len(), columns: f.Columns(), quick: quick, out: make([]bool, f.Len())}
	t.numbers, t.codes, t.counts = make([][]float64, len(t.columns)), make([][]int, len(t.columns)),
		make([][]int, len(t.columns))
	for row := 0; row < t.rows && f.AnyAside(); row++ {
		parallel.LookAt(ctx, row)
		_, t.out[row] = f.Aside(row)
	}
	return t
}

// number is a number column's values.
func (t *table) number(column int) []float64 {
	if t.numbers[column] == nil {
		t.numbers[column], _ = t.f.Numbers(t.columns[column].Name) // it is one
	}
	return t.numbers[column]
}

func (t *table) code(column int) []int {
	if t.codes[column] == nil {
		codes, err := t.f.Codes(t.ctx, t.columns[column].Name)
		parallel.Heed(err) // of the context: the column is a category
		t.codes[column] = codes
	}
	return t.codes[column]
}

// count is how many of the rows that take part have each level of a category.
func (t *table) count(column int) []int {
	if t.counts[column] == nil {
		n := make([]int, len(t.columns[column].Levels))
		for row, code := range t.code(column) {
			parallel.LookAt(t.ctx, row)
			if code >= 0 && !t.out[row] {
				n[code]++
			}
		}
		t.counts[column] = n
	}
	return t.counts[column]
}

// kind finds the columns of a kind.
func (t *table) kind(k frames.Kind) []int {
	var places []int
	for i, c := range t.columns {
		if c.Kind == k {
			places = append(places, i)
		}
	}
	return places
}

// nameColumn is the column that names the specimens: the one marked so, else the first whose
// header says that it names them and in which few names come twice; -1 where there is none.
func (t *table) nameColumn() int {
	for i, c := range t.columns {
		if c.Role == frames.Specimen {
			return i
		}
	}
	for i, c := range t.columns {
		if c.Role == frames.NoRole && notation.NamesSpecimens(c.Name) {
			return i
		}
	}
	return -1
}

// part are the values of a number column that are there, in rows that take part, with their rows.
func (t *table) part(column int) (values []float64, rows []int) {
	for row, x := range t.number(column) {
		parallel.LookAt(t.ctx, row)
		if x == x && !t.out[row] {
			values, rows = append(values, x), append(rows, row)
		}
	}
	return values, rows
}

// decimals is how many digits a number has after its point.
func decimals(x float64) int {
	s := strconv.FormatFloat(x, 'f', -1, 64)
	if at := strings.IndexByte(s, '.'); at >= 0 {
		return len(s) - at - 1
	}
	return 0
}

// medianOf is the median of values, which it sorts; NaN of none.
func medianOf(ctx context.Context, values []float64) float64 {
	parallel.Sort(ctx, values)
	return medianInOrder(values)
}

// medianInOrder is the median of values in order, NaN of none.
func medianInOrder(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return math.NaN()
	}
	return (values[(n-1)/2] + values[n/2]) / 2
}

// spreadOf is the median and the robust standard deviation: 1.4826 times the median of what lies
// between the values and their median (F. R. Hampel, The influence curve and its role in robust
// estimation, Journal of the American Statistical Association 69 (1974), 383–393).
func spreadOf(ctx context.Context, values []float64) (median, sd float64) {
	sorted := slices.Clone(values)
	median = medianOf(ctx, sorted)
	off := make([]float64, 0, len(sorted)) // from the median outwards, and so in order
	high, _ := slices.BinarySearch(sorted, median)
	low := high - 1
	for len(off) < len(sorted) {
		if high == len(sorted) || low >= 0 && median-sorted[low] < sorted[high]-median {
			off, low = append(off, median-sorted[low]), low-1
		} else {
			off, high = append(off, sorted[high]-median), high+1
		}
	}
	return median, 1.4826 * medianInOrder(off)
}
