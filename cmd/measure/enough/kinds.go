package enough

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"breakbook/models/lists"
)

// kind is one kind of question that is told how many specimens would settle it.
type kind struct {
	name  string
	asked string // the lines after the series is open
	// counted is what the number counts: specimens a level or in all, boards a level.
	counted string
	// series invents one with n of what is counted and a true difference of so many times the size
	// worth having; exact: its estimates of spread are the true spread, and of the difference the true one.
	series func(n int, truth float64, exact bool, r *rand.Rand) table
	first  string // the levels of the difference that counts; "": the first answer that is told
	second string
	pilot  int  // how many of what is counted the first series has
	known  bool // exact pilots have one number; else it is the median over pilots
	alike  bool // asked with truth 0 only
	// own: how many of what is counted the series have whose own spread gives the number.
	own []int
}

// table is a series as it is written to a file.
type table struct {
	header string
	rows   []string
}

func (t table) csv() string { return t.header + "\n" + strings.Join(t.rows, "\n") + "\n" }

func (t *table) add(load float64, cells ...any) {
	text := lists.Mapped(cells, func(c any) string { return fmt.Sprint(c) })
	t.rows = append(t.rows, fmt.Sprintf("A%03d,%s,%.4f", len(t.rows)+1, strings.Join(text, ","), load))
}

// The mean load, its scatter and that of boards, and the smallest difference worth having, in N.
const (
	mean, scatter = 400.0, 30.0
	boardScatter  = 25.0
	worth         = 20.0
)

// drawn are n normal values of an sd; exact: with mean 0 and exactly that sd.
func drawn(n int, sd float64, exact bool, r *rand.Rand) []float64 {
	out, sum := make([]float64, n), 0.0
	for i := range out {
		out[i] = r.NormFloat64()
		sum += out[i]
	}
	if !exact {
		sum = 0
	}
	squares := 0.0
	for i := range out {
		out[i] -= sum / float64(n)
		squares += out[i] * out[i]
	}
	scale := sd
	if exact {
		scale = sd / math.Sqrt(squares/float64(n-1))
	}
	for i := range out {
		out[i] *= scale
	}
	return out
}

// levels invents n specimens a level, the second one higher by truth times worth, in an order in turn.
func levels(sds ...float64) func(n int, truth float64, exact bool, r *rand.Rand) table {
	return func(n int, truth float64, exact bool, r *rand.Rand) table {
		all := lists.Mapped(sds, func(sd float64) []float64 { return drawn(n, sd, exact, r) })
		t := table{header: "specimen,pins,load (N)"}
		for i := range n {
			for l := range sds {
				y := mean + all[l][i]
				if l == 1 {
					y += truth * worth
				}
				t.add(y, string(rune('a'+l)))
			}
		}
		return t
	}
}

// number invents n specimens in all whose density goes evenly from end to end, the load by truth times worth.
func number(n int, truth float64, exact bool, r *rand.Rand) table {
	e := drawn(n, scatter, exact, r)
	at := func(i int) float64 { return float64(i)/float64(n-1) - 0.5 }
	if exact { // nothing left along density, and the sd on n − 2 degrees of freedom
		var xx, xy, residualSS float64
		for i := range e {
			xx, xy = xx+at(i)*at(i), xy+at(i)*e[i]
		}
		for i := range e {
			e[i] -= xy / xx * at(i)
			residualSS += e[i] * e[i]
		}
		for i := range e {
			e[i] *= scatter / math.Sqrt(residualSS/float64(n-2))
		}
	}
	t := table{header: "specimen,density,load (N)"}
	for i := range e {
		t.add(mean+truth*worth*at(i)+e[i], fmt.Sprintf("%.3f", 600+100*at(i)))
	}
	return t
}

// within invents n boards with a specimen of either level from each.
func within(n int, truth float64, exact bool, r *rand.Rand) table {
	boards := drawn(n, boardScatter, exact, r)
	half := drawn(n, scatter/math.Sqrt2, exact, r) // of the difference within a board
	sums := drawn(n, scatter/math.Sqrt2, exact, r)
	if exact { // boards and sums together have the variance that they would have
		for i := range sums {
			boards[i], sums[i] = boards[i]*math.Sqrt(boardScatter*boardScatter+scatter*scatter/2)/boardScatter, 0
		}
	}
	t := table{header: "specimen,pins,board,load (N)"}
	for i := range n {
		t.add(mean+boards[i]+sums[i]-half[i], "a", fmt.Sprintf("K%d", i+1))
		t.add(mean+boards[i]+sums[i]+half[i]+truth*worth, "b", fmt.Sprintf("K%d", i+1))
	}
	return t
}

// perBoard is how many specimens a board gives between boards.
const perBoard = 4

// between invents n boards a level of perBoard specimens each.
func between(n int, truth float64, exact bool, r *rand.Rand) table {
	t := table{header: "specimen,pins,board,load (N)"}
	for l, name := range []string{"a", "b"} {
		boards := drawn(n, boardScatter, exact, r)
		if exact {
			boards = drawn(n, math.Sqrt(boardScatter*boardScatter+scatter*scatter/perBoard), true, r)
		}
		for b := range n {
			for _, e := range drawn(perBoard, scatter, exact, r) {
				t.add(mean+boards[b]+e+float64(l)*truth*worth, name, fmt.Sprintf("K%d%s", b+1, name))
			}
		}
	}
	return t
}

// worthShare is the share that is worth having where a strength or a chance is asked about.
const worthShare = 0.10

// modes invents n joints in all, every second one of the other level: the strength of the glue is
// Weibull of shape 8, that of the wood is too, somewhat larger, and the smaller of them shows.
func modes(n int, truth float64, _ bool, r *rand.Rand) table {
	t := table{header: "specimen,pins,failure,load (N)"}
	weibull := func(scale float64) float64 { return scale * math.Pow(r.ExpFloat64(), 1.0/8) }
	for i := range n {
		glue := weibull(mean)
		if i%2 == 1 {
			glue *= 1 + truth*worthShare
		}
		wood := weibull(mean * 1.08)
		mode := "glue"
		if wood < glue {
			mode = "wood"
		}
		t.add(min(glue, wood), string(rune('a'+i%2)), mode)
	}
	return t
}

// chances invents n joints in all, every second one of the other level: one in two fails in the glue, and truth
// times chanceWorth more.
func chances(n int, truth float64, _ bool, r *rand.Rand) table {
	t := table{header: "specimen,pins,failure,load (N)"}
	for i := range n {
		mode := "wood"
		if r.Float64() < 0.5+float64(i%2)*truth*chanceWorth {
			mode = "glue"
		}
		t.add(mean+scatter*r.NormFloat64(), string(rune('a'+i%2)), mode)
	}
	return t
}

// chanceWorth is the difference of two chances that is worth having.
const chanceWorth = 0.25

func kinds() []kind {
	newtons := fmt.Sprintf("worth %g N; ", worth)
	perLevel, inAll := "specimens a level", "specimens in all"
	two, four := levels(scatter, scatter), levels(scatter, scatter, scatter, scatter)
	return []kind{
		{name: "two levels", asked: newtons + "compare load by pins", counted: perLevel, series: two,
			first: "a", second: "b", pilot: 8, known: true, own: []int{6, 12}},
		{name: "two levels, fitted", asked: newtons + "fit load on pins", counted: perLevel,
			series: two, pilot: 8, known: true},
		{name: "two levels, uneven spread", asked: newtons + "compare load by pins uneven spread", counted: perLevel,
			series: levels(20, 40), first: "a", second: "b", pilot: 8, known: true, own: []int{12}},
		{name: "two levels, ranked", asked: newtons + "compare load by pins ranked", counted: perLevel, series: two,
			first: "a", second: "b", pilot: 16},
		{name: "two levels, same", asked: fmt.Sprintf("same load by pins within %g N", worth), counted: perLevel,
			series: two, first: "a", second: "b", pilot: 8, known: true, alike: true},
		{name: "four levels, one pair", asked: newtons + "compare load by pins", counted: perLevel, series: four,
			first: "a", second: "b", pilot: 8, known: true, own: []int{6, 12}},
		{name: "four levels, all at once", asked: newtons + "average load by pins", counted: perLevel,
			series: four, pilot: 8, known: true},
		{name: "four levels, against the first", asked: newtons + "compare load by pins against a", counted: perLevel,
			series: four, first: "a", second: "b", pilot: 8, known: true},
		{name: "a number, end to end", asked: newtons + "fit load on density", counted: inAll, series: number,
			pilot: 24, known: true},
		{name: "within boards, one of each", asked: newtons + "fit load on pins blocked by board", counted: perLevel,
			series: within, pilot: 8, known: true, own: []int{6, 12}},
		{name: "within boards, compared", asked: newtons + "fit load on pins blocked by board as f; compare pins of f",
			counted: perLevel, series: within, first: "a", second: "b", pilot: 8, known: true},
		{name: "between boards of four", asked: newtons + "fit load on pins blocked by board",
			counted: "boards a level", series: between, pilot: 5, known: true, own: []int{4, 8}},
		{name: "until failure is glue", asked: "worth 10%; fit load until failure is glue on pins", counted: inAll,
			series: modes, first: "a", second: "b", pilot: 40, own: []int{24}},
		{name: "odds failure is glue", asked: "worth 25%; odds failure is glue on pins", counted: inAll,
			series: chances, first: "a", second: "b", pilot: 40},
	}
}
