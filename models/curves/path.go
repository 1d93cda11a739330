package curves

import (
	"cmp"
	"math"
	"slices"

	"breakbook/models/lists"
)

// Preparation says how the readings were put in one forward path.
type Preparation struct {
	Missing  int   // readings without a slip or a load
	Sorted   bool  // they were in no test order, so they were put in order of slip
	Loops    []int // unloaded and loaded again: how many readings between were left out, each time
	Back     int   // readings at a slip behind an earlier one, moved to where the path stood
	TakenOff int   // readings at the end while the load was taken off, left out
}

const (
	farBack      = 0.10 // of the span: a step back that noise does not make
	realFall     = 0.10 // of the rise: a fall of load that noise does not make
	noisyBack    = 0.05 // of the span: the deepest going back taken for noise
	clearlyBack  = 0.01 // of the span: going back at the end that is the load being taken off
	suddenFall   = 1. / 3
	mostlyBack   = 9 // times as many steps back as forward: a gauge that counts down
	fewFarBack   = 2 // steps far back that a test in order may have, or a tenth of its readings
	shareFarBack = 10
)

// path is a curve with slips that never go back.
type path struct{ slip, load []float64 }

// travel puts the readings in one forward path. Readings in no test order (some lies far
// behind the first, or many steps go far back) are put in order of slip. Otherwise
// unloading loops and the load taken off at the end are left out, slip that springs back
// while the load breaks down stands still, and small steps back are taken for noise: the
// slips become the nondecreasing ones nearest in the least-squares sense (Ayer et al. 1955).
func travel(slip, load []float64) (path, Preparation, error) {
	p, prep, err := usable(slip, load)
	if err != nil {
		return p, prep, err
	}
	n := len(p.slip)
	low, span := slices.Min(p.slip), slices.Max(p.slip)-slices.Min(p.slip)
	if span < smallest {
		return p, prep, because("slip-stands-still", n)
	}
	back, forward, far := 0, 0, 0
	for i := 1; i < n; i++ {
		switch step := p.slip[i] - p.slip[i-1]; {
		case step < -farBack*span:
			far++
			back++
		case step < 0:
			back++
		case step > 0:
			forward++
		}
	}
	switch {
	case back == 0:
		return p, prep, nil
	case back > mostlyBack*forward:
		return p, prep, because("slip-backwards", n)
	case far > max(fewFarBack, n/shareFarBack) || p.slip[0] > low+farBack*span:
		prep.Sorted = true
		return p.sorted(), prep, nil
	}
	p = p.forward(span, &prep)
	p.smoothSlip()
	return p, prep, nil
}

// usable copies the readings that have both numbers.
func usable(slip, load []float64) (path, Preparation, error) {
	var prep Preparation
	if len(slip) != len(load) {
		return path{}, prep, because("uneven-lengths", len(slip))
	}
	both := make([]float64, 2*len(slip))
	p := path{both[:0:len(slip)], both[len(slip):len(slip)]}
	for i, s := range slip {
		l := load[i]
		switch {
		case math.IsInf(s, 0) || math.IsInf(l, 0):
			return p, prep, &Error{Code: "not-a-number", N: len(slip), Reading: i, Other: -1}
		case math.IsNaN(s) || math.IsNaN(l):
			prep.Missing++
			continue
		case math.Abs(s) > largest || math.Abs(l) > largest:
			return p, prep, &Error{Code: "too-large", N: len(slip), Reading: i, Other: -1}
		}
		p.slip, p.load = append(p.slip, s), append(p.load, l)
	}
	if len(p.slip) < fewest {
		return p, prep, because("too-few-readings", len(p.slip))
	}
	return p, prep, nil
}

// sorted is the readings in order of slip, those at one slip as they came.
func (p path) sorted() path {
	at := lists.Indices(len(p.slip))
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(p.slip[a], p.slip[b]) })
	q := path{make([]float64, len(at)), make([]float64, len(at))}
	for i, j := range at {
		q.slip[i], q.load[i] = p.slip[j], p.load[j]
	}
	return q
}

// excursion is a run of readings, from..to-1, behind the slip of the one before them.
type excursion struct {
	from, to int
	depth    float64 // how far slip went back
	low      float64 // lowest load
	fall     float64 // from the load where it began to the lowest
	sudden   float64 // the largest fall in one step
}

func (p path) excursion(i int) excursion {
	e := excursion{from: i + 1, low: math.Inf(1)}
	for e.to = e.from; e.to < len(p.slip) && p.slip[e.to] < p.slip[i]; e.to++ {
		e.depth = max(e.depth, p.slip[i]-p.slip[e.to])
		e.low = min(e.low, p.load[e.to])
		e.sudden = max(e.sudden, p.load[e.to-1]-p.load[e.to])
	}
	e.fall = p.load[i] - e.low
	return e
}

// forward goes through the readings in order and decides about each excursion: a loop
// when the load comes back by half of its fall or more, the load taken off when slip never
// comes back and no single step is a third of the fall, noise when load and depth are small,
// and a break with slip springing back otherwise. It works in place.
func (p path) forward(span float64, prep *Preparation) path {
	n := len(p.slip)
	rise := slices.Max(p.load) - p.load[0]
	keep := 0 // readings kept so far; the last of them has index i in the order of reading
	put := func(s, l float64) { p.slip[keep], p.load[keep] = s, l; keep++ }
	put(p.slip[0], p.load[0])
	for i := 0; i < n-1; {
		if p.slip[i+1] >= p.slip[i] {
			i++
			put(p.slip[i], p.load[i])
			continue
		}
		e := p.excursion(i)
		fallen := e.fall >= realFall*rise
		switch {
		case fallen && e.to < n && p.load[e.to] >= e.low+e.fall/2:
			prep.Loops = append(prep.Loops, e.to-e.from)
		case fallen && e.to == n && e.depth > clearlyBack*span && e.sudden <= suddenFall*e.fall:
			prep.TakenOff = e.to - e.from
		case !fallen && e.depth <= noisyBack*span:
			prep.Back += e.to - e.from
			for j := e.from; j < e.to; j++ {
				put(p.slip[j], p.load[j])
			}
		default:
			prep.Back += e.to - e.from
			stands := p.slip[i]
			for j := e.from; j < e.to; j++ {
				put(stands, p.load[j])
			}
		}
		i = e.to
		if i < n {
			put(p.slip[i], p.load[i])
		}
	}
	return path{p.slip[:keep], p.load[:keep]}
}

// smoothSlip makes the slips nondecreasing by pooling adjacent violators.
func (p path) smoothSlip() {
	type pool struct {
		mean float64
		n    int
	}
	var pools []pool
	for _, s := range p.slip {
		pools = append(pools, pool{s, 1})
		for k := len(pools) - 1; k > 0 && pools[k-1].mean > pools[k].mean; k-- {
			a, b := pools[k-1], pools[k]
			n := a.n + b.n
			pools[k-1] = pool{a.mean + (b.mean-a.mean)*float64(b.n)/float64(n), n}
			pools = pools[:k]
		}
	}
	i := 0
	for _, q := range pools {
		for range q.n {
			p.slip[i] = q.mean
			i++
		}
	}
}
