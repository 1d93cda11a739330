package drove

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"breakbook/cmd/measure/typed"
	"breakbook/models/lists"
)

// factor is a column that may have driven the load: a category, or a number drawn evenly between two ends.
type factor struct {
	name      string
	levels    []string
	parts     []int // how many of so many specimens have each level; nil: as many of one as of another
	low, high float64
	between   bool   // a board has one level of it
	as        string // a column that changes with it, too nearly to tell which of them did it
}

// Kind is a truth: how series are laid out, and what each factor does.
type Kind struct {
	Name     string
	n        int
	factors  []factor
	mean     func(s specimen) float64 // the expected load, in N
	breaks   func(s specimen, r *rand.Rand) (load float64, mode string)
	lost     func(s specimen, r *rand.Rand) bool // the specimen never came to the bench
	blank    float64                             // the chance that a cell stayed empty
	combined [][2]string                         // factors that do something only together
	bends    []string                            // numbers that count along a curve
	boards   int                                 // as many, of which each specimen has one; 0: none
	boardSD  float64
	worth    float64 // in the unit of the load
	unit     string
	load     string                            // its column
	make     func(k *Kind, seed uint64) Series // nil: by the fields above
}

// specimen is what a specimen is made of: by factor the index of a level, or a number; NaN where it was not
// written down.
type specimen struct {
	k *Kind
	x []float64
}

func (k *Kind) at(name string) int {
	i := slices.IndexFunc(k.factors, func(f factor) bool { return f.name == name })
	if i < 0 {
		panic("no factor " + name)
	}
	return i
}

// num is a number of a specimen.
func (s specimen) num(name string) float64 { return s.x[s.k.at(name)] }

// is tells 1 of a specimen that has a level, and 0 of any other.
func (s specimen) is(name, level string) float64 {
	i := s.k.at(name)
	l := slices.Index(s.k.factors[i].levels, level)
	if l < 0 {
		panic("no level " + level + " of " + name)
	}
	if s.x[i] == float64(l) {
		return 1
	}
	return 0
}

// Series is one series of a truth: the file, and what stands in it.
type Series struct {
	CSV       string
	specimens []specimen
	loads     []float64 // NaN where it was not written down
	board     []int     // nil: no boards
}

// The mean load and its scatter, and the smallest difference worth having, in N.
const (
	base, scatter = 400.0, 30.0
	worth         = 40.0
)

func (k *Kind) invent(seed uint64) Series {
	if k.make != nil {
		return k.make(k, seed)
	}
	r := rand.New(rand.NewPCG(seed, uint64(k.n)))
	var out Series
	header := []string{"specimen"}
	for _, f := range k.factors {
		header = append(header, f.name)
		if f.as != "" {
			header = append(header, f.as)
		}
	}
	columns := lists.Mapped(k.factors, func(f factor) []float64 { return k.dealt(f, r) })
	adds := lists.Made(k.boards, func(b int) float64 { return k.boardSD * r.NormFloat64() })
	if k.boards > 0 {
		header = append(header, "board")
	}
	if k.breaks != nil {
		header = append(header, "failure")
	}
	header = append(header, k.load+" ("+k.unit+")")
	var rows [][]string
	for i := range k.n {
		s := specimen{k, make([]float64, len(k.factors))}
		for f := range k.factors {
			s.x[f] = columns[f][i]
		}
		if k.lost != nil && k.lost(s, r) {
			continue
		}
		load, mode := base+scatter*r.NormFloat64(), ""
		if k.breaks != nil {
			load, mode = k.breaks(s, r)
		} else {
			load += k.mean(s)
		}
		row := []string{fmt.Sprintf("S%02d", i+1)}
		for f := range k.factors {
			row = append(row, k.cells(f, s, r)...)
		}
		if k.boards > 0 {
			b := i % k.boards
			load += adds[b]
			out.board, row = append(out.board, b), append(row, fmt.Sprintf("B%d", b+1))
		}
		if k.breaks != nil {
			row = append(row, mode)
		}
		load = math.Round(load*10) / 10
		rows = append(rows, append(row, strconv.FormatFloat(load, 'f', 1, 64)))
		out.specimens, out.loads = append(out.specimens, s), append(out.loads, load)
	}
	out.CSV = typed.CSV(header, rows)
	return out
}

// cells are what is written of one factor, and of the column that changes with it; the specimen knows
// no more of it than what is written.
func (k *Kind) cells(f int, s specimen, r *rand.Rand) []string {
	one := k.factors[f]
	text := strconv.FormatFloat(s.x[f], 'f', -1, 64)
	if one.levels != nil {
		text = one.levels[int(s.x[f])]
	}
	out := []string{text}
	if one.as != "" {
		out = append(out, fmt.Sprintf("%.1f", 7+14*s.x[f]+0.7*r.NormFloat64()))
	}
	if k.blank > 0 && r.Float64() < k.blank {
		s.x[f], out[0] = math.NaN(), ""
	}
	return out
}

// dealt gives every specimen its value of a factor: levels as a shuffled pack of cards, so that as many
// have each as should; numbers one by one.
func (k *Kind) dealt(f factor, r *rand.Rand) []float64 {
	out := make([]float64, k.n)
	if f.levels == nil {
		for i := range out {
			out[i] = math.Round(f.low + (f.high-f.low)*r.Float64())
		}
		return out
	}
	n := k.n
	if f.between {
		n = k.boards
	}
	var pack []int
	for len(pack) < n {
		for l := range f.levels {
			times := 1
			if f.parts != nil {
				times = f.parts[l]
			}
			pack = append(pack, slices.Repeat([]int{l}, times)...)
		}
	}
	pack = pack[:n]
	r.Shuffle(n, func(i, j int) { pack[i], pack[j] = pack[j], pack[i] })
	for i := range out {
		out[i] = float64(pack[i%n])
	}
	return out
}
