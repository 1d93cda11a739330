package proofread

import (
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
)

// mostLevels is how many different numbers a column may have to be taken as a setting.
const mostLevels = 8

// factor is a column as levels: a category, or numbers of which there are few; levels is 0 of any other.
func (t *table) factor(column int) (codes []int, levels int) {
	c := t.columns[column]
	switch {
	case c.Role == frames.Specimen:
		return nil, 0
	case c.Kind == frames.Category:
		return t.code(column), len(c.Levels)
	case c.Kind == frames.Text:
		return nil, 0
	}
	seen := map[float64]int{}
	codes = make([]int, t.rows)
	for row, x := range t.number(column) {
		parallel.LookAt(t.ctx, row)
		if codes[row] = -1; x != x {
			continue
		}
		code, met := seen[x]
		if !met {
			if code = len(seen); code == mostLevels {
				return nil, 0
			}
			seen[x] = code
		}
		codes[row] = code
	}
	if t.rows < 3*len(seen) {
		return nil, 0
	}
	return codes, len(seen)
}

// fitted are logarithms less what the levels of some columns let expect of them.
type fitted struct {
	residuals []float64
	unsure    []float64 // how much higher or lower a residual can be, because a level is missing or rare
	sd        float64   // robust
	free      float64   // how many values more than effects
	loss      float64   // the mean of what is left, each counted up to a bound
}

const (
	mostFactors = 5      // columns that are taken off
	mostChosen  = 10_000 // rows by which columns are chosen; of a longer series every so many-th
	narrower    = 0.96   // a column is taken off where it narrows what is left that much
	tryRounds   = 8      // rounds of a fit that is only compared with others
	rounds      = 40     // of the last fit
	halvings    = 10     // of the bound in these rounds
)

// expected takes off logarithms what the levels of the columns let expect that narrow them most, chosen one
// after the other and fitted together; without leaves columns out.
func (n *numbers) expected(logs []float64, rows []int, without func(frames.Column) bool) fitted {
	some, of := logs, rows
	if step := len(logs) / mostChosen; step > 1 {
		some, of = nil, nil
		for i := 0; i < len(logs); i += step {
			some, of = append(some, logs[i]), append(of, rows[i])
		}
	}
	_, bound := spreadOf(n.ctx, some)
	bound *= 3
	var chosen []grouping
	best := n.additive(some, of, nil, tryRounds, bound)
	room := len(some) / 3
	var open []grouping
	for i := range n.columns {
		parallel.Look(n.ctx)
		if codes, levels := n.factor(i); i != n.place && levels >= 2 && levels <= 30 &&
			!without(n.columns[i]) {
			open = append(open, grouping{codes, levels})
		}
	}
	for len(chosen) < mostFactors {
		at, next := -1, best
		for i, g := range open {
			if g.levels > room {
				continue
			}
			if f := n.additive(some, of, append(slices.Clip(chosen), g), tryRounds, bound); f.loss < next.loss {
				at, next = i, f
			}
		}
		if at < 0 || next.loss > narrower*best.loss {
			break
		}
		best = next
		chosen = append(chosen, open[at])
		room -= open[at].levels
		open = slices.Delete(open, at, at+1)
	}
	return n.additive(logs, rows, chosen, rounds, bound)
}

type grouping struct {
	codes  []int // of each row of the series, -1 where missing
	levels int
}

// additive fits one effect a level, of several columns at once, by Huber's estimate: means of what is left,
// with whatever is far off moved to 1.5 spreads (P. J. Huber, Robust Statistics, 1981, 7.8, the modified
// residuals). It starts from a wide bound that is halved on the way, or it would end at the first effects
// that suit most rows where levels are met unevenly. Levels of fewer than leastGroup values have no effect.
func (n *numbers) additive(logs []float64, rows []int, by []grouping, rounds int, bound float64) fitted {
	f := fitted{residuals: slices.Clone(logs), unsure: make([]float64, len(logs))}
	middle := medianOf(n.ctx, slices.Clone(logs))
	for i := range f.residuals {
		f.residuals[i] -= middle
	}
	effects, counts := make([][]float64, len(by)), make([][]int, len(by))
	taken := 1
	for k, g := range by {
		effects[k], counts[k] = make([]float64, g.levels), make([]int, g.levels)
		for _, row := range rows {
			if c := g.codes[row]; c >= 0 {
				counts[k][c]++
			}
		}
		for _, m := range counts[k] {
			if m >= leastGroup {
				taken++
			}
		}
		taken--
	}
	for round := range rounds {
		if len(by) == 0 {
			break
		}
		parallel.Look(n.ctx)
		_, sd := spreadOf(n.ctx, f.residuals)
		reach := math.Max(1.5*sd, bound*math.Exp2(-float64(halvings*round)/float64(rounds)))
		for k, g := range by {
			n.shift(f.residuals, rows, g, effects[k], counts[k], reach)
		}
	}
	_, f.sd = spreadOf(n.ctx, f.residuals)
	f.free = float64(max(1, len(logs)-taken))
	more := math.Sqrt(float64(len(logs)) / f.free)
	f.sd *= more
	for i, r := range f.residuals {
		f.loss += math.Min(math.Abs(r), bound) * more / float64(len(f.residuals))
		for k, g := range by {
			if c := g.codes[rows[i]]; c < 0 || counts[k][c] < leastGroup {
				f.unsure[i] += math.Max(slices.Max(effects[k]), -slices.Min(effects[k]))
			}
		}
	}
	return f
}

// shift moves the residuals of each level to their mean, each counted up to reach, and adds that to its effect.
func (n *numbers) shift(residuals []float64, rows []int, g grouping, effect []float64, count []int, reach float64) {
	middle := make([]float64, g.levels)
	for i, row := range rows {
		parallel.LookAt(n.ctx, i)
		if c := g.codes[row]; c >= 0 {
			middle[c] += math.Max(-reach, math.Min(residuals[i], reach)) / float64(count[c])
		}
	}
	for c := range middle {
		if count[c] < leastGroup {
			middle[c] = 0
		}
		effect[c] += middle[c]
	}
	for i, row := range rows {
		parallel.LookAt(n.ctx, i)
		if c := g.codes[row]; c >= 0 {
			residuals[i] -= middle[c]
		}
	}
}
