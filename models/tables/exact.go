package tables

import (
	"cmp"
	"context"
	"errors"
	"math"
	"math/bits"
	"slices"
	"sort"
)

var errTooMany = errors.New("too many steps to count out")

// counter counts tables column by column (after Pagano & Halvorsen 1981 and the network of
// Mehta & Patel 1983). The state after some columns is what is left of each row total, in
// order of size, since rows with equal totals left are alike; equal states are merged. For
// the first half of the columns every state keeps the ways to reach it, for the second half
// the ways to go on; ways of equal likelihood are merged too. Where both halves meet, the
// probability of all pairs no likelier than the table is summed.
type counter struct {
	spent       int // calls of spend, to look at ctx every so often
	ctx         context.Context
	rows        []int // sorted
	columns     []int // the largest first
	lnFactorial []float64
	stepsLeft   int
	key         []byte
}

// What a step is: some ten nanoseconds of work, whatever is done, so that so many steps are
// so much time. Here is how many each piece of work counts for.
const (
	edgeSteps  = 20  // a way to take a column out: its state in order, its key, finding it
	stateSteps = 100 // a state that was not met before
	entrySteps = 20  // a likelihood that was not met before
	mergeSteps = 5   // one that was
)

// spend takes steps off those left. Errors are errTooMany and ctx's own.
func (c *counter) spend(steps int) error {
	if c.stepsLeft -= steps; c.stepsLeft < 0 {
		return errTooMany
	}
	if c.spent++; c.spent%1024 == 0 {
		return c.ctx.Err()
	}
	return nil
}

// likelihoodClass is all ways of one likelihood: their −Σ ln(count!) and, given where they start, their
// probability together.
type likelihoodClass struct{ ln, p float64 }

// node is a state with the ways to it, by likelihood.
type node struct {
	state   []int
	classes []likelihoodClass // by likelihood, the smallest first
}

func newCounter(ctx context.Context, rows, columns []int, steps int) *counter {
	c := &counter{ctx: ctx, rows: slices.Sorted(slices.Values(rows)), columns: slices.Sorted(slices.Values(columns)),
		stepsLeft: steps}
	slices.Reverse(c.columns)
	n := 0
	for _, r := range rows {
		n += r
	}
	c.lnFactorial = lnFactorials(ctx, n)
	return c
}

// noLikelier is the probability of all tables whose likelihood is at most ln. Errors are
// errTooMany and ctx's own.
func (c *counter) noLikelier(ln float64) (float64, error) {
	middle := (len(c.columns) + 1) / 2
	nodes := map[string]*node{string(appendKey(nil, c.rows)): {state: c.rows, classes: []likelihoodClass{{0, 1}}}}
	for j := range middle - 1 {
		var err error
		if nodes, err = c.forward(nodes, c.columns[j]); err != nil {
			return 0, err
		}
	}
	known := make([]map[string][]likelihoodClass, len(c.columns))
	sum := 0.0
	for _, id := range ids(nodes) {
		from := nodes[id]
		err := c.edges(from.state, c.columns[middle-1], func(to []int, edge likelihoodClass) error {
			ahead, err := c.onward(known, to, middle)
			if err != nil {
				return err
			}
			share, err := c.pairs(from.classes, ahead, ln-edge.ln)
			sum += share * math.Exp(edge.p)
			return err
		})
		if err != nil {
			return 0, err
		}
	}
	return math.Min(1, sum), nil
}

// forward takes the ways of all states over one more column.
func (c *counter) forward(nodes map[string]*node, column int) (map[string]*node, error) {
	gathered := map[string]*merger{}
	for _, id := range ids(nodes) {
		from := nodes[id]
		err := c.edges(from.state, column, func(to []int, edge likelihoodClass) error {
			c.key = appendKey(c.key[:0], to)
			g := gathered[string(c.key)]
			if g == nil {
				if err := c.spend(stateSteps); err != nil {
					return err
				}
				g = &merger{state: slices.Clone(to), at: map[int64]int{}}
				gathered[string(c.key)] = g
			}
			return g.add(c, from.classes, edge)
		})
		if err != nil {
			return nil, err
		}
	}
	out := make(map[string]*node, len(gathered))
	for k, g := range gathered {
		out[k] = &node{state: g.state, classes: g.sorted()}
	}
	return out, nil
}

// onward is the ways to go on from a state over the columns from j on, by likelihood, each
// with the probability of all ways up to it in place of its own.
func (c *counter) onward(known []map[string][]likelihoodClass, state []int, j int) ([]likelihoodClass, error) {
	if j == len(c.columns)-1 { // the last column takes what is left
		ln := 0.0
		for _, x := range state {
			ln -= c.lnFactorial[x]
		}
		return []likelihoodClass{{ln, 1}}, nil
	}
	c.key = appendKey(c.key[:0], state)
	if classes, ok := known[j][string(c.key)]; ok {
		return classes, nil
	}
	if err := c.spend(stateSteps); err != nil {
		return nil, err
	}
	k := string(c.key)
	g := &merger{at: map[int64]int{}}
	err := c.edges(state, c.columns[j], func(to []int, edge likelihoodClass) error {
		ahead, err := c.onward(known, to, j+1)
		if err != nil {
			return err
		}
		own, before := make([]likelihoodClass, len(ahead)), 0.0
		for i, w := range ahead {
			own[i], before = likelihoodClass{w.ln, w.p - before}, w.p
		}
		return g.add(c, own, edge)
	})
	if err != nil {
		return nil, err
	}
	classes := g.sorted()
	for i := 1; i < len(classes); i++ {
		classes[i].p += classes[i-1].p
	}
	if known[j] == nil {
		known[j] = map[string][]likelihoodClass{}
	}
	known[j][k] = classes
	return classes, nil
}

// pairs is the probability of a way there and a way on that are together no likelier than ln.
func (c *counter) pairs(there, on []likelihoodClass, ln float64) (float64, error) {
	if there[0].ln+on[0].ln > ln {
		return 0, nil
	}
	last, sum := len(on)-1, 0.0
	if there[len(there)-1].ln+on[last].ln <= ln {
		for _, w := range there {
			sum += w.p
		}
		return sum * on[last].p, c.spend(len(there) / 10)
	}
	at := len(on)
	for _, w := range there {
		at = sort.Search(at, func(i int) bool { return w.ln+on[i].ln > ln })
		if at == 0 {
			break
		}
		sum += w.p * on[at-1].p
		if err := c.spend(1 + bits.Len(uint(at))/2); err != nil {
			return 0, err
		}
	}
	return sum, nil
}

// edges visits every way to take a column out of what is left of the rows: the state after
// it, in order of size, and the way with ln of its probability (hypergeometric) as p.
func (c *counter) edges(state []int, column int, visit func(to []int, edge likelihoodClass) error) error {
	if err := c.ctx.Err(); err != nil {
		return err
	}
	n := 0
	for _, x := range state {
		n += x
	}
	all := c.lnFactorial[n] - c.lnFactorial[column] - c.lnFactorial[n-column]
	to, sorted := make([]int, len(state)), make([]int, len(state))
	var take func(i, need, room int, ln, chosen float64) error
	take = func(i, need, room int, ln, chosen float64) error {
		if i == len(state) {
			if err := c.spend(edgeSteps); err != nil {
				return err
			}
			copy(sorted, to)
			insertionSort(sorted)
			return visit(sorted, likelihoodClass{ln, chosen - all})
		}
		room -= state[i]
		for x := max(0, need-room); x <= min(need, state[i]); x++ {
			to[i] = state[i] - x
			choose := c.lnFactorial[state[i]] - c.lnFactorial[x] - c.lnFactorial[state[i]-x]
			if err := take(i+1, need-x, room, ln-c.lnFactorial[x], chosen+choose); err != nil {
				return err
			}
		}
		return nil
	}
	return take(0, column, n, 0, 0)
}

func insertionSort(a []int) {
	for i := 1; i < len(a); i++ {
		for j := i; j > 0 && a[j] < a[j-1]; j-- {
			a[j], a[j-1] = a[j-1], a[j]
		}
	}
}

// merger merges ways of equal likelihood.
type merger struct {
	state   []int
	classes []likelihoodClass
	at      map[int64]int
}

// grain is how close two −Σ ln(count!) have to be to count as one: far above their rounding
// error, far below the tolerance of the test.
const grain = 1e-10

func (g *merger) add(c *counter, classes []likelihoodClass, edge likelihoodClass) error {
	if err := c.spend(mergeSteps * len(classes)); err != nil {
		return err
	}
	share := math.Exp(edge.p)
	for _, w := range classes {
		ln := w.ln + edge.ln
		k := int64(math.Round(ln / grain))
		if i, ok := g.at[k]; ok {
			g.classes[i].p += w.p * share
			continue
		}
		if err := c.spend(entrySteps); err != nil {
			return err
		}
		g.at[k] = len(g.classes)
		g.classes = append(g.classes, likelihoodClass{ln, w.p * share})
	}
	return nil
}

func (g *merger) sorted() []likelihoodClass {
	slices.SortFunc(g.classes, func(a, b likelihoodClass) int {
		return cmp.Compare(a.ln, b.ln)
	})
	return g.classes
}

// appendKey is a state as a key of a map.
func appendKey(b []byte, state []int) []byte {
	for _, x := range state {
		b = append(b, byte(x), byte(x>>8), byte(x>>16), byte(x>>24))
	}
	return b
}

// ids are the keys of the states in a fixed order, so that sums do not depend on a map's.
func ids(nodes map[string]*node) []string {
	out := make([]string, 0, len(nodes))
	for k := range nodes {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
