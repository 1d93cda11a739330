// Package handkept invents sheets of test results as a workshop keeps them by hand, clean ones and ones
// with a fault of a known kind in them, to measure what a careful reading finds.
package handkept

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"breakbook/models/lists"
)

// Sheet is a table of cells as written. A row of no cells is a blank line.
type Sheet struct {
	Header []string
	Rows   [][]string

	name   int   // the column of names, -1 where there is none
	levels []int // the columns of words with levels
	load   int   // the column of loads
	number []int // columns whose sums mean something: measured ones
	size   int   // the column of the thickness, -1 without one
	date   int   // the column of dates, in order; -1 without one
	digits []int // decimals of each column
}

// CSV is the sheet as a file.
func (s *Sheet) CSV() []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write(s.Header) // a buffer takes everything
	for _, row := range s.Rows {
		if row == nil {
			w.Flush()
			b.WriteByte('\n')
			continue
		}
		_ = w.Write(row)
	}
	w.Flush()
	return b.Bytes()
}

// line is the line of the file in which a row stands.
func (s *Sheet) line(row int) int { return row + 2 }

// wordColumns are columns of levels as workshops have them.
var wordColumns = []struct {
	header string
	levels []string
}{
	{"Joint", []string{"mortise", "dowel", "bridle", "half lap", "loose tenon"}},
	{"Glue", []string{"PVA", "epoxy", "hide glue", "casein"}},
	{"Species", []string{"oak", "beech", "larch", "spruce", "maple"}},
	{"Pins", []string{"none", "single", "pair", "offset"}},
	{"Place", []string{"workshop", "store", "yard"}},
	{"Clamp", []string{"screw", "wedge", "spring", "band clamp"}},
	{"Finish", []string{"planed", "sawn", "sanded"}},
}

// Options say what a sheet is like where that matters to what is planted in it.
type Options struct {
	Spread  float64 // of the logarithms of loads in a group; 0: anything from 0.04 to 0.3
	Least   int     // as many rows at least
	Ordered bool    // by the first column of levels
	Two     bool    // at least two measured columns
	Names   bool    // a column of names
	Dates   bool    // a column of dates in order
	Size    bool    // a column of thicknesses
}

// Clean invents a sheet in which nothing is wrong.
func Clean(r *rand.Rand, o Options) *Sheet {
	n := max([]int{12, 16, 24, 30, 40, 60, 96, 150, 240}[r.IntN(9)], o.Least)
	s := &Sheet{name: -1, size: -1, date: -1}
	columns := make([][]string, 0, 12)
	add := func(header string, digits int, cell func(i int) string) int {
		s.Header = append(s.Header, header)
		s.digits = append(s.digits, digits)
		columns = append(columns, lists.Made(n, cell))
		return len(columns) - 1
	}
	if o.Names || r.IntN(5) > 0 {
		s.name = addNames(r, n, add)
	}
	factors := 1 + r.IntN(3)
	effect := make([]float64, n)
	first := make([]int, n)
	for k, at := range r.Perm(len(wordColumns))[:factors] {
		w := wordColumns[at]
		levels := 2 + r.IntN(len(w.levels)-1)
		shift := lists.Made(levels, func(j int) float64 { return r.NormFloat64() * 0.25 })
		of := layout(r, n, levels, k, o.Ordered)
		if k == 0 {
			first = of
		}
		s.levels = append(s.levels, add(w.header, 0,
			func(i int) string { effect[i] += shift[of[i]]; return w.levels[of[i]] }))
	}
	addGiven(r, n, first, o, s, add)
	spread := o.Spread
	if spread == 0 {
		spread = 0.04 + 0.26*r.Float64()
	}
	unit := []string{"N", "kgf", "lbf", "kN"}[r.IntN(4)]
	usual := map[string]float64{"N": 4200, "kgf": 420, "lbf": 950, "kN": 4.2}[unit] * math.Exp(0.5*r.NormFloat64())
	digits := map[string]int{"N": 0, "kgf": r.IntN(2), "lbf": r.IntN(2), "kN": 2 + r.IntN(2)}[unit]
	weibull := r.IntN(3) == 0
	loads := make([]float64, n)
	for i := range loads {
		z := r.NormFloat64() * spread
		if weibull { // its spread of logarithms is 1.28 over its shape
			z = math.Log(r.ExpFloat64()) * spread / 1.28
		}
		loads[i] = usual * math.Exp(effect[i]+z)
	}
	s.load = add("Load ("+unit+")", digits, func(i int) string { return written(loads[i], digits) })
	s.number = append(s.number, s.load)
	addMeasured(r, loads, o, s, add)
	if r.IntN(3) == 0 {
		modes := []string{"wood", "glue line", "pin"}
		s.levels = append(s.levels, add("Failure", 0, func(int) string { return modes[r.IntN(3)] }))
	}
	if r.IntN(4) == 0 {
		add("Note", 0, func(int) string {
			if r.IntN(12) > 0 {
				return ""
			}
			return []string{"knot at the pin", "glue squeezed out", "slight wane", "dropped before the test"}[r.IntN(4)]
		})
	}
	s.turn(r, n, columns, o)
	return s
}

// layout gives each specimen a level: in turn, in blocks, or by lot.
func layout(r *rand.Rand, n, levels, k int, ordered bool) []int {
	of := make([]int, n)
	scheme := r.IntN(3)
	if ordered && k == 0 {
		scheme = 1
	}
	for i := range of {
		switch scheme {
		case 0:
			of[i] = i % levels
		case 1:
			of[i] = i * levels / n
		default:
			of[i] = i / (k + 1) % levels
		}
	}
	if scheme == 2 {
		r.Shuffle(n, func(i, j int) { of[i], of[j] = of[j], of[i] })
	}
	return of
}

func addNames(r *rand.Rand, n int, add func(string, int, func(int) string) int) int {
	order := r.Perm(n)
	if r.IntN(2) == 0 {
		for i := range order {
			order[i] = i
		}
	}
	header := []string{"Specimen", "No", "ID", "Sample"}[r.IntN(4)]
	form := []string{"A%02d", "%d", "G-%d", "T%03d"}[r.IntN(4)]
	return add(header, 0, func(i int) string { return fmt.Sprintf(form, order[i]+1) })
}

// addGiven adds what the blanks have: boards, densities, moisture, sizes, days.
func addGiven(r *rand.Rand, n int, group []int, o Options, s *Sheet, add func(string, int, func(int) string) int) {
	boards := 2 + n/5
	board := lists.Made(n, func(i int) int { return r.IntN(boards) })
	of := lists.Made(boards, func(i int) float64 { return 620 + 60*r.NormFloat64() })
	if r.IntN(3) == 0 {
		add("Board", 0, func(i int) string { return fmt.Sprintf("K%d", board[i]+1) })
	}
	switch r.IntN(3) {
	case 0: // one a board
		s.number = append(s.number, add("Density (kg/m3)", 0, func(i int) string { return written(of[board[i]], 0) }))
	case 1:
		s.number = append(s.number, add("Density (kg/m3)", 1,
			func(i int) string { return written(of[board[i]]+15*r.NormFloat64(), 1) }))
	}
	if o.Size || r.IntN(2) == 0 {
		if r.IntN(2) == 0 {
			s.size = add("Thickness (mm)", 0, func(i int) string { return []string{"24", "34", "44"}[(i+group[i])%3] })
		} else {
			s.size = add("Thickness (mm)", 1, func(i int) string { return written(30+1.2*r.NormFloat64(), 1) })
			s.number = append(s.number, s.size)
		}
	}
	if r.IntN(3) == 0 {
		s.number = append(s.number, add("Moisture (%)", 1,
			func(int) string { return written(11.5+0.8*r.NormFloat64(), 1) }))
	}
	if r.IntN(4) == 0 {
		add("Offset (mm)", 0, func(int) string { return []string{"0", "5", "10"}[r.IntN(3)] })
	}
	if r.IntN(5) == 0 {
		add("Room temp (degC)", 1, func(int) string { return written(8+6*r.NormFloat64(), 1) })
	}
	if o.Dates || r.IntN(4) == 0 {
		s.date = add("Tested", 0, func(i int) string {
			day := i * 40 / n
			return fmt.Sprintf("2024-%02d-%02d", 3+day/28, 1+day%28)
		})
	}
}

// addMeasured adds what came out beside the load.
func addMeasured(r *rand.Rand, loads []float64, o Options, s *Sheet, add func(string, int, func(int) string) int) {
	if r.IntN(3) == 0 {
		s.number = append(s.number, add("Slip at break (mm)", 2,
			func(int) string { return written(2.4*math.Exp(0.35*r.NormFloat64()), 2) }))
	}
	if r.IntN(4) == 0 {
		s.number = append(s.number, add("Stress (N/mm2)", 2,
			func(i int) string { return written(8*loads[i]/loads[0], 2) }))
	}
	if r.IntN(4) == 0 {
		add("Wood failure (%)", 0, func(int) string { return strconv.Itoa(5 * r.IntN(21)) })
	}
	if o.Two && len(s.number) < 2 || r.IntN(4) == 0 {
		s.number = append(s.number, add("Stiffness (N/mm)", 0,
			func(int) string { return written(1800*math.Exp(0.4*r.NormFloat64()), 0) }))
	}
}

// turn makes rows of the columns, shuffles them where nothing says their order, and drops some cells.
func (s *Sheet) turn(r *rand.Rand, n int, columns [][]string, o Options) {
	for i := range n {
		s.Rows = append(s.Rows, lists.Made(len(columns), func(k int) string { return columns[k][i] }))
	}
	if s.date < 0 && !o.Ordered && r.IntN(2) == 0 {
		r.Shuffle(n, func(i, j int) { s.Rows[i], s.Rows[j] = s.Rows[j], s.Rows[i] })
	}
	if r.IntN(3) == 0 {
		for _, row := range s.Rows {
			for k := range row {
				if k != s.name && k != s.date && r.IntN(30) == 0 {
					row[k] = ""
				}
			}
		}
	}
}

func written(x float64, digits int) string { return strconv.FormatFloat(x, 'f', digits, 64) }

func read(cell string) float64 {
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		return math.NaN()
	}
	return x
}
