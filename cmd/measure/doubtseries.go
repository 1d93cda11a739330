package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"breakbook/cmd/measure/falseanswers"
	"breakbook/models/lists"
)

// The mean load, its scatter and the smallest difference worth having of every invented series.
const (
	meanLoad = 400.0
	scatter  = 30.0
	worthIt  = 40.0
)

// gaugeLoad is a load as read on a gauge of a step; 0: ten digits.
func gaugeLoad(x, step float64) string {
	if step == 0 {
		return fmt.Sprintf("%.4f", x)
	}
	return fmt.Sprintf("%g", math.Round(x/step)*step)
}

// layout is one kind of clean series.
type layout struct {
	name    string
	n       int
	factors int     // of two levels, the first one also compared
	levels  int     // of the first factor
	numbers int     // properties beside, in the fit
	outside int     // properties outside the fit
	uneven  bool    // groups of unequal size
	boards  int     // 0: none; crossed with the factors
	step    float64 // of the gauge, over the scatter
	fit     bool    // fit asked; else compare
}

var layouts = []layout{
	{name: "12, one factor, compared", n: 12, factors: 1, levels: 2},
	{name: "12, one factor, fitted", n: 12, factors: 1, levels: 2, fit: true},
	{name: "24, three uneven levels, two properties outside", n: 24, factors: 1, levels: 3, outside: 2, uneven: true},
	{name: "24, gauge step half the scatter", n: 24, factors: 1, levels: 2, step: 0.5, outside: 1},
	{name: "40, two factors and a number, fitted", n: 40, factors: 2, levels: 3, numbers: 1, outside: 2, fit: true},
	{name: "40, uneven, two numbers, fitted", n: 40, factors: 2, levels: 2, numbers: 2, uneven: true, fit: true,
		step: 0.25},
	{name: "60, six factors, fitted", n: 60, factors: 6, levels: 2, fit: true, outside: 1},
	{name: "80, four factors, 16 boards, fitted", n: 80, factors: 4, levels: 4, numbers: 1, boards: 16, fit: true},
	{name: "48, 12 boards, compared", n: 48, factors: 1, levels: 2, boards: 12, outside: 2, step: 0.3},
}

// clean invents a series of a layout with nothing wrong: unrelated factors with effects of nothing
// or of worth, normal scatter, boards as blocks whose own scatter is half the specimens'.
func clean(l layout, r *rand.Rand) falseanswers.Series {
	m := falseanswers.Series{Header: []string{"specimen"}}
	var terms []string
	effect := make([]float64, l.factors)
	for f := range l.factors {
		m.Header, terms = append(m.Header, fmt.Sprintf("way%d", f+1)), append(terms, fmt.Sprintf("way%d", f+1))
		effect[f] = float64(r.IntN(2)) * worthIt
	}
	for f := range l.numbers {
		m.Header, terms = append(m.Header, fmt.Sprintf("size%d", f+1)), append(terms, fmt.Sprintf("size%d", f+1))
	}
	for f := range l.outside {
		m.Header = append(m.Header, fmt.Sprintf("beside%d", f+1))
	}
	if l.boards > 0 {
		m.Header = append(m.Header, "board")
	}
	m.Header = append(m.Header, "load (N)")
	board := make([]float64, max(l.boards, 1))
	for b := range board {
		if l.boards > 0 {
			board[b] = r.NormFloat64() * scatter / 2
		}
	}
	for i := range l.n {
		row, y := []string{fmt.Sprintf("A%02d", i+1)}, meanLoad+r.NormFloat64()*scatter
		for f := range l.factors {
			k := 2
			if f == 0 {
				k = l.levels
			}
			level := (i + f*i/k) % k
			switch {
			case f > 0:
				level = r.IntN(k)
			case l.uneven && i >= l.n/2:
				level = 0
			}
			row = append(row, string(rune('a'+level)))
			y += effect[f] * float64(level) / float64(k-1)
		}
		for range l.numbers {
			x := 500 + 200*r.Float64()
			y += (x - 600) * 0.2
			row = append(row, fmt.Sprintf("%.1f", x))
		}
		for range l.outside {
			row = append(row, fmt.Sprintf("%.1f", 10+r.NormFloat64()*2))
		}
		if l.boards > 0 {
			b := i * l.boards / l.n
			row, y = append(row, fmt.Sprintf("K%d", b+1)), y+board[b]
		}
		m.Rows = append(m.Rows, append(row, gaugeLoad(y, l.step*scatter)))
	}
	m.Truth = effect[0]
	m.Asked = "compare load by way1"
	if l.fit {
		m.Asked = "fit load on " + strings.Join(terms, ", ")
	}
	return m
}

// pairs starts a series of two levels, the second after the first.
func pairs(n int, r *rand.Rand, more []string, of func(i int) ([]string, float64)) falseanswers.Series {
	m := falseanswers.Series{Header: append(append([]string{"specimen", "pins"}, more...), "load (N)"),
		Asked: "compare load by pins"}
	for i := range n {
		cells, y := of(i)
		row := append([]string{fmt.Sprintf("A%02d", i+1), []string{"none", "pair"}[i%2]}, cells...)
		m.Rows = append(m.Rows, append(row, gaugeLoad(y+r.NormFloat64()*scatter, 0)))
	}
	return m
}

// faults are planted at the size of what is worth having, or more.
var faults = []falseanswers.Fault{
	{Name: "a property left out that went along", Make: func(n int, r *rand.Rand) falseanswers.Series {
		m := pairs(n, r, []string{"density"}, func(i int) ([]string, float64) {
			d := 600 + 60*float64(i%2) + 30*r.NormFloat64()
			return []string{fmt.Sprintf("%.1f", d)}, meanLoad + (d-630)*1.2
		})
		m.Doubt = "left-out"
		return m
	}},
	{Name: "pins help one glue and hurt the other", Make: func(n int, r *rand.Rand) falseanswers.Series {
		m := pairs(n, r, []string{"glue"}, func(i int) ([]string, float64) {
			warm := i / 2 % 2
			return []string{[]string{"warm", "cold"}[warm]}, meanLoad + 80*float64((i%2)*(1-2*warm)) + 40*float64(warm)
		})
		m.Asked, m.Truth, m.Doubt = "fit load on pins, glue", 80, "combination"
		return m
	}},
	{Name: "a bend", Make: func(n int, r *rand.Rand) falseanswers.Series {
		m := pairs(n, r, []string{"density"}, func(i int) ([]string, float64) {
			d := 500 + 200*float64(i)/float64(n-1)
			return []string{fmt.Sprintf("%.1f", d)}, meanLoad - 100*math.Pow((d-600)/100, 2)
		})
		m.Asked, m.Truth, m.Doubt = "fit load on density", 100, "bend"
		return m
	}},
	{Name: "a slipped digit", Make: func(n int, r *rand.Rand) falseanswers.Series {
		m := pairs(n, r, nil, func(i int) ([]string, float64) { return nil, meanLoad + 60*float64(i%2) })
		at := r.IntN(n)
		last := len(m.Rows[at]) - 1
		m.Rows[at][last] += "e1"
		m.Truth, m.Doubt = 60, "odd-specimen"
		return m
	}},
	{Name: "30 of spread 5 beside 5 of spread 60", Make: func(_ int, r *rand.Rand) falseanswers.Series {
		m := falseanswers.Series{Header: []string{"specimen", "pins", "load (N)"}, Asked: "compare load by pins",
			Doubt: "uneven-spread"}
		for i := range 35 {
			level, sd := "none", 5.0
			if i >= 30 {
				level, sd = "pair", 60
			}
			m.Rows = append(m.Rows, []string{fmt.Sprintf("A%02d", i+1), level,
				gaugeLoad(meanLoad+sd*r.NormFloat64(), 0)})
		}
		return m
	}},
	{Name: "the machine ends at the upper third", Make: func(n int, r *rand.Rand) falseanswers.Series {
		m := falseanswers.Series{Header: []string{"specimen", "pins", "load (N)"}, Asked: "compare load by pins",
			Truth: worthIt * 1.5, Doubt: "ceiling"}
		for i := range n {
			y := meanLoad + 60*float64(i%2) + scatter*r.NormFloat64()
			m.Rows = append(m.Rows, []string{fmt.Sprintf("A%02d", i+1), []string{"none", "pair"}[i%2],
				gaugeLoad(min(y, meanLoad+45), 1)})
		}
		return m
	}},
	{Name: "one board a level", Make: func(n int, r *rand.Rand) falseanswers.Series {
		boards := [2]float64{r.NormFloat64() * 60, r.NormFloat64() * 60}
		m := pairs(n, r, []string{"plank"}, func(i int) ([]string, float64) {
			return []string{[]string{"K1", "K2"}[i%2]}, meanLoad + boards[i%2]
		})
		m.Doubt = "one-block"
		return m
	}},
	{Name: "boards that carry the difference", Make: func(n int, r *rand.Rand) falseanswers.Series {
		var boards [6]float64
		for i := range boards {
			boards[i] = r.NormFloat64() * 60
		}
		m := falseanswers.Series{Header: []string{"specimen", "pins", "board", "load (N)"},
			Asked: "compare load by pins", Doubt: "blocks"}
		for i := range n {
			b := i * 6 / n
			m.Rows = append(m.Rows, []string{fmt.Sprintf("A%02d", i+1), []string{"none", "pair"}[b%2],
				fmt.Sprintf("K%d", b+1), gaugeLoad(meanLoad+boards[b]+scatter*r.NormFloat64(), 0)})
		}
		return m
	}},
	{Name: "12 factors of noise", Make: func(n int, r *rand.Rand) falseanswers.Series {
		m := falseanswers.Series{Header: []string{"specimen"}, Doubt: "many-asked"}
		terms := lists.Made(12, func(f int) string { return fmt.Sprintf("way%d", f+1) })
		m.Header = append(append(m.Header, terms...), "load (N)")
		for i := range max(n, 40) {
			row := []string{fmt.Sprintf("A%02d", i+1)}
			for range terms {
				row = append(row, string(rune('a'+r.IntN(2))))
			}
			m.Rows = append(m.Rows, append(row, gaugeLoad(meanLoad+scatter*r.NormFloat64(), 0)))
		}
		m.Asked = "fit load on " + strings.Join(terms, ", ")
		return m
	}},
	{Name: "every row twice", Make: func(n int, r *rand.Rand) falseanswers.Series {
		m := pairs(n/2, r, nil, func(int) ([]string, float64) { return nil, meanLoad })
		m.Rows = append(m.Rows, m.Rows...)
		m.Doubt = "repeated"
		return m
	}},
	{Name: "two factors that changed together", Make: func(n int, r *rand.Rand) falseanswers.Series {
		odd := r.IntN(n)
		m := pairs(n, r, []string{"store"}, func(i int) ([]string, float64) {
			s := i % 2
			if n >= 60 && i == odd {
				s = 1 - s
			}
			return []string{[]string{"warm", "cold"}[s]}, meanLoad + 60*float64(s)
		})
		m.Doubt = "confounded"
		return m
	}},
}
