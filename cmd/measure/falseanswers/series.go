package falseanswers

import (
	"fmt"
	"math"
	"math/rand/v2"

	"breakbook/cmd/measure/typed"
)

// The mean load, its scatter, that of boards, and the smallest difference worth having, in N.
const (
	mean, scatter = 400.0, 30.0
	boardScatter  = scatter / 2
	worth         = 40.0
	chanceWorth   = 0.20 // of chances
)

// Series is an invented series: a header, rows of cells, the load last, and the true difference of
// its levels in N; it is 0, or that worth having or more.
type Series struct {
	Header []string
	Rows   [][]string
	Truth  float64
	// Asked is the question it was invented for, and Doubt the doubt that names what was planted; "" for nothing.
	Asked, Doubt string
}

// CSV is the series as it stands in a file.
func (s Series) CSV() string { return typed.CSV(s.Header, s.Rows) }

// Fault is something wrong that is planted in a series of n specimens.
type Fault struct {
	Name string
	Make func(n int, r *rand.Rand) Series
}

// response is what a question is about.
type response int

const (
	ofLoad     response = iota
	ofLoads             // in three series
	ofStrength          // the load until one way of breaking
	ofChance            // the chance of a way of breaking
)

// layout is one kind of series with nothing wrong.
type layout struct {
	name   string
	uneven bool // a quarter of the specimens has the second level
	boards bool // of four, each with both levels
}

var layouts = []layout{{name: "even"}, {name: "uneven", uneven: true}, {name: "boards", boards: true}}

// clean invents n specimens with nothing wrong: two levels that differ by truth, a density that
// counts for a little, and boards where the layout has them. A strength or a chance differs by what
// is worth having there, if truth is not 0.
func clean(l layout, n int, truth float64, of response, r *rand.Rand) string {
	header := []string{"specimen", "pins", "density"}
	if l.boards {
		header = append(header, "board")
	}
	var rows [][]string
	board, each := 0.0, 4
	for i := range n {
		if i%each == 0 {
			board = boardScatter * r.NormFloat64()
		}
		second := i%2 == 1
		if l.uneven {
			second = i%4 == 3
		}
		level, up := "none", 0.0
		if second {
			level, up = "pair", truth
		}
		density := 500 + 200*r.Float64()
		y := mean + up + 0.2*(density-600) + scatter*r.NormFloat64()
		row := []string{fmt.Sprintf("A%02d", i+1), level, fmt.Sprintf("%.1f", density)}
		if l.boards {
			y += board
			row = append(row, fmt.Sprintf("K%d", i/each+1))
		}
		rows = append(rows, append(row, fmt.Sprintf("%.4f", y)))
	}
	if of == ofChance { // the chance itself differs, and the load has nothing to do with it
		header = append(header[:len(header):len(header)], "failure", "load (N)")
		for i, row := range rows {
			p := 0.4
			if row[1] == "pair" && truth > 0 {
				p += chanceWorth
			}
			last := len(row) - 1
			mode := "wood"
			if r.Float64() < p {
				mode = "glue"
			}
			rows[i] = append(row[:last:last], mode, row[last])
		}
		return typed.CSV(header, rows)
	}
	return typed.CSV(dressed(append(header, "load (N)"), rows, of, r))
}

// dressed adds what a question needs to a series of loads: three series, or a way of breaking. For a
// strength the load is that of the glue, and the wood breaks before where it is weaker; for a chance
// the glue breaks in the weaker joints.
func dressed(header []string, rows [][]string, of response, r *rand.Rand) ([]string, [][]string) {
	if of == ofLoad {
		return header, rows
	}
	last := len(header) - 1
	added := "failure"
	if of == ofLoads {
		added = "series"
	}
	out := make([][]string, len(rows))
	draws := map[string]float64{} // of a specimen: one that is entered twice broke once
	series := map[string]string{}
	for i, row := range rows {
		draw, ok := draws[row[0]]
		if !ok {
			draw = r.NormFloat64()
			draws[row[0]], series[row[0]] = draw, fmt.Sprintf("S%d", i/2%3+1)
		}
		var load float64
		if _, err := fmt.Sscanf(row[last], "%g", &load); err != nil {
			panic("a load is no number: " + row[last])
		}
		cell, text := "", row[last]
		switch of {
		case ofLoads:
			cell = series[row[0]]
		case ofStrength:
			wood := mean + 40 + scatter*draw
			if cell = "glue"; wood < load && load < 5*mean { // a slipped digit is in the file and not in the joint
				cell, text = "wood", fmt.Sprintf("%.4f", wood)
			}
		case ofChance:
			if cell = "wood"; load+scatter/2*draw < mean+worth/2 {
				cell = "glue"
			}
		}
		out[i] = append(append(append([]string{}, row[:last]...), cell), text)
	}
	return append(append(append([]string{}, header[:last]...), added), header[last]), out
}

// percent is a share of a whole as it is printed.
func percent(n, of int) string {
	if of == 0 {
		return "–"
	}
	return fmt.Sprintf("%.1f", math.Round(1000*float64(n)/float64(of))/10)
}
