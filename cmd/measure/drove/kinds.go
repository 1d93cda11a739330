package drove

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"breakbook/cmd/measure/gates"
)

// The columns that most truths have.
var (
	density   = factor{name: "density", low: 500, high: 700}
	pins      = factor{name: "pins", levels: []string{"none", "pair"}}
	glue      = factor{name: "glue", levels: []string{"hide", "pva", "epoxy"}}
	thickness = factor{name: "thickness", levels: []string{"18", "24", "34"}}
	place     = factor{name: "place", levels: []string{"shed", "store"}}
	five      = []factor{density, pins, glue, thickness, place}
)

// Kinds are the truths that are measured, the demo's first.
func Kinds() []*Kind {
	warm := place
	warm.as = "cure_temp"
	few, rare, between := pins, glue, factor{name: "species", levels: []string{"larch", "oak"}, between: true}
	few.parts, rare.parts = []int{4, 1}, []int{6, 3, 1}
	opened := factor{name: "open_time", low: 2, high: 20}
	all := []*Kind{
		demo(),
		{Name: "none", n: 48, factors: five, mean: func(specimen) float64 { return 0 }},
		{Name: "one factor", n: 48, factors: five, mean: func(s specimen) float64 { return 50 * s.is("pins", "pair") }},
		{Name: "combined", n: 48, factors: five, combined: [][2]string{{"pins", "place"}},
			mean: func(s specimen) float64 {
				return 0.3*(s.num("density")-600) + s.is("pins", "pair")*(20+90*s.is("place", "store"))
			}},
		{Name: "confounded", n: 48, factors: []factor{density, pins, glue, thickness, warm},
			mean: func(s specimen) float64 { return 55*s.is("place", "store") + 40*s.is("pins", "pair") }},
		{Name: "unbalanced", n: 50, factors: []factor{density, few, rare, thickness, place},
			mean: func(s specimen) float64 { return 75*s.is("pins", "pair") + 75*s.is("glue", "epoxy") }},
		{Name: "8 factors, 40 specimens", n: 40, factors: append(slices.Clone(five),
			factor{name: "moisture", low: 8, high: 16}, opened,
			factor{name: "cutter", levels: []string{"saw", "router", "chisel", "mill"}}),
			mean: func(s specimen) float64 {
				return 60*s.is("pins", "pair") + 0.4*(s.num("density")-600) + 45*s.is("glue", "epoxy")
			}},
		{Name: "boards", n: 64, factors: []factor{density, pins, glue, between}, boards: 16, boardSD: 25,
			mean: func(s specimen) float64 { return 45*s.is("pins", "pair") + 70*s.is("species", "oak") }},
		{Name: "mixed modes", n: 60, factors: five, mean: expectedOfModes, breaks: breaksInModes},
		{Name: "a bend", n: 48, factors: []factor{opened, pins, glue, thickness, place}, bends: []string{"open_time"},
			mean: func(s specimen) float64 {
				return -90*math.Pow((s.num("open_time")-11)/9, 2) + 45*s.is("pins", "pair")
			}},
		{Name: "uneven, spoiled", n: 64, factors: []factor{density, few, {name: "species",
			levels: []string{"larch", "oak"}, parts: []int{2, 1}}, thickness, place}, blank: 0.01,
			mean: func(s specimen) float64 { return 75*s.is("pins", "pair") + 45*s.is("species", "oak") },
			lost: func(s specimen, r *rand.Rand) bool {
				return s.is("pins", "pair")*s.is("species", "oak") == 1 && r.Float64() < 0.6
			}},
		{Name: "16 specimens", n: 16, factors: []factor{density, pins, place},
			mean: func(s specimen) float64 { return 60 * s.is("pins", "pair") }},
		{Name: "grown together", n: 100, factors: []factor{density, pins,
			{name: "species", levels: []string{"larch", "oak"}}, place},
			mean: func(s specimen) float64 { return 45*s.is("pins", "pair") + 0.5*(s.num("density")-600) },
			lost: func(s specimen, r *rand.Rand) bool { // oak is heavy, mostly
				return (s.is("species", "oak") == 1) != (s.num("density") > 600) && r.Float64() < 0.8
			}},
		{Name: "combined with a number", n: 60, factors: five, combined: [][2]string{{"density", "pins"}},
			mean: func(s specimen) float64 {
				return 0.7*(s.num("density")-600)*s.is("pins", "pair") + 60*s.is("place", "store")
			}},
		{Name: "two combined", n: 80, factors: five, combined: [][2]string{{"pins", "place"}, {"glue", "density"}},
			mean: func(s specimen) float64 {
				return 100*s.is("pins", "pair")*s.is("place", "store") +
					0.8*(s.num("density")-600)*s.is("glue", "epoxy")
			}},
		{Name: "6 boards", n: 48, factors: []factor{density, pins, glue, between}, boards: 6, boardSD: 25,
			mean: func(s specimen) float64 { return 45*s.is("pins", "pair") + 90*s.is("species", "oak") }},
		{Name: "none, 5 boards", n: 30, factors: []factor{density, pins, glue, between}, boards: 5, boardSD: 25,
			mean: func(specimen) float64 { return 0 }},
	}
	for _, k := range all[1:] {
		k.worth, k.unit, k.load = worth, "N", "load"
	}
	return all
}

// A joint of several ways of failing gives way where it is weakest. The store helps the glue line alone.
const (
	gluePlace, woodPlace, storeAdds = 400.0, 460.0, 60.0
	jointSD, placeSD                = 15.0, 25.0
)

func ownOf(s specimen) float64 { return 60*s.is("pins", "pair") + 0.3*(s.num("density")-600) }

func breaksInModes(s specimen, r *rand.Rand) (float64, string) {
	own := ownOf(s) + jointSD*r.NormFloat64()
	glue := own + gluePlace + storeAdds*s.is("place", "store") + placeSD*r.NormFloat64()
	if wood := own + woodPlace + placeSD*r.NormFloat64(); wood < glue {
		return wood, "wood"
	}
	return glue, "glue"
}

// expectedOfModes is the expected smaller of two normal strengths (Clark 1961, Operations Research 9, from
// memory).
func expectedOfModes(s specimen) float64 {
	a, b := gluePlace+storeAdds*s.is("place", "store"), woodPlace
	apart := placeSD * math.Sqrt2
	z := (b - a) / apart
	phi := 0.5 * math.Erfc(-z/math.Sqrt2)
	return ownOf(s) + a*phi + b*(1-phi) - apart*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)
}

// firstDemo is the first seed of the demo's series: well clear of those that its own was chosen from.
const firstDemo = 1001

// demo is the demo's truth, whose main series has boards, spoiled specimens and three ways of failing.
func demo() *Kind {
	truth := gates.Known()
	warm := place
	warm.as = "cure_temp"
	levels := []string{"none", "single", "pair", "offset"}
	thick := factor{name: "thickness", levels: []string{"34", "44"}}
	k := &Kind{Name: "the demo's", boards: 16, worth: 34, unit: "kgf", load: "break_load",
		factors: []factor{{name: "density"}, {name: "pins", levels: levels}, warm, thick,
			{name: "species", levels: []string{"larch", "oak"}}}}
	expected := sync.OnceValue(func() (out [4][2]float64) {
		for p := range levels {
			out[p] = [2]float64{truth.Expected(p, false), truth.Expected(p, true)}
		}
		return out
	})
	k.mean = func(s specimen) float64 {
		return expected()[int(s.num("pins"))][int(s.num("place"))] +
			truth.DensitySlope*(s.num("density")-truth.MeanDensity)
	}
	k.make = func(k *Kind, seed uint64) Series {
		made := gates.Make(truth, firstDemo+seed)
		out := Series{CSV: string(made.Data()[0].Content)}
		names := map[string]int{}
		bit := func(is bool) float64 {
			if is {
				return 1
			}
			return 0
		}
		for _, j := range made.Gates {
			s := specimen{k, []float64{j.Density, float64(j.Pins), bit(j.Store), bit(j.Thickness == 44), bit(j.Oak)}}
			load := j.Load
			if j.Unwritten["density"] {
				s.x[0] = math.NaN()
			}
			if j.Unwritten["load"] {
				load = math.NaN()
			}
			if _, ok := names[j.Board]; !ok {
				names[j.Board] = len(names)
			}
			out.specimens, out.loads = append(out.specimens, s), append(out.loads, math.Round(load*10)/10)
			out.board = append(out.board, names[j.Board])
		}
		return out
	}
	return k
}

// asked is the question that a series is asked.
func (k *Kind) asked() string {
	return fmt.Sprintf("what drove %s worth %g %s", k.load, k.worth, k.unit)
}
