package kernel

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"breakbook/frames"
	"breakbook/models/compare"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/progress"
	"breakbook/repl/say"
)

// The ways of comparing that an option asks for; without one all levels share a spread.
const (
	unevenSpread = "uneven spread"
	byRanks      = "ranked"
	byReshuffles = "reshuffled"
)

// comparing is the way the command asks for, "" for none.
func (k *call) comparing() (string, error) {
	way := ""
	for _, w := range []string{unevenSpread, byRanks, byReshuffles} {
		if !k.c.Options[w] {
			continue
		}
		if way != "" {
			return "", &page.Problem{Code: "two-ways", Message: way + " and " + w + " cannot both be asked for", Hint: "keep one of them"}
		}
		way = w
	}
	return way, nil
}

// compareRaw sets the levels of a category against each other, or all against one.
func compareRaw(k *call) (*Session, error) {
	way, err := k.comparing()
	if err != nil {
		return nil, err
	}
	by := k.column("a")
	columns := []string{by.Column}
	if way == byReshuffles {
		if columns, err = k.withBlocks(columns); err != nil {
			return nil, err
		}
	}
	s, r, err := k.measured(columns...)
	if err != nil {
		return nil, err
	}
	groups, err := k.groups(s, r.values, by)
	if err != nil {
		return nil, err
	}
	fam := r.family(s, by.Column, groups)
	m, overall, err := k.routed(fam, way, s, groups, columns[1:])
	if err == nil {
		err = k.compareFamily(fam, m, overall, r.name()+" by "+by.Column)
	}
	if err != nil {
		return nil, k.onLevel(err, by, groups)
	}
	k.e.Cautions = append(k.e.Cautions, smallLevels(groups)...)
	return k.book(k.answered(s, r, columns, fam.mains()), result{columns: []string{by.Column}})
}

// family is the words for the levels of a category, as raw groups.
func (r *response) family(s *sample, factor string, groups []group) *family {
	c, _ := s.frame.Column(factor)
	fam := &family{measure: r.measure(), unit: r.unit(), factor: factor, levelUnit: c.Unit.String(), logged: r.logged(), probability: math.NaN()}
	for _, g := range groups {
		fam.names = append(fam.names, g.level)
	}
	return fam
}

// routed makes ready to compare raw levels in the way asked for: their means, and the test
// of all levels together.
func (k *call) routed(fam *family, way string, s *sample, groups []group, blocks []string) (compare.Means, overallTest, error) {
	if err := k.fewLevels(len(groups), fam.factor, k.has("against")); err != nil {
		return compare.Means{}, overallTest{}, err
	}
	values := make([][]float64, len(groups))
	for i, g := range groups {
		values[i] = g.values
	}
	var m compare.Means
	var o compare.Overall
	var err error
	switch way {
	case unevenSpread:
		if m, err = compare.Uneven(k.ctx, values); err == nil {
			o, err = compare.Welch(k.ctx, values)
		}
	case byRanks:
		m.Mean = means(values)
		o, err = compare.KruskalWallis(k.ctx, values)
		fam.judge = func(ref int, o compare.Options) (*compare.Result, error) {
			return compare.Ranked(k.ctx, values, ref, o)
		}
	case byReshuffles:
		m.Mean = means(values)
		err = k.reshuffling(fam, values, s, groups, blocks)
	default:
		if m, err = compare.Groups(k.ctx, values); err == nil {
			o, err = compare.OneWay(k.ctx, values)
		}
	}
	return m, overallTest{o.F, o.DF1, o.DF2, o.P}, err
}

func means(values [][]float64) []float64 {
	out := make([]float64, len(values))
	for i, level := range values {
		sum := 0.0
		for _, v := range level {
			sum += v - level[0]
		}
		out[i] = level[0] + sum/float64(len(level))
	}
	return out
}

// reshuffling makes ready to compare raw levels by reshuffling within blocks.
func (k *call) reshuffling(fam *family, values [][]float64, s *sample, groups []group, columns []string) error {
	times, err := k.times()
	if err != nil {
		return err
	}
	if n, ok := k.c.Slots["times"].(phrase.Count); ok {
		if err := fewDeals(n, s.frame.Len()); err != nil {
			return err
		}
	}
	block, within := s.blocks(k.ctx, columns)
	fam.within = within
	var blocks [][]int
	if block != nil {
		for _, g := range groups {
			var level []int
			for _, row := range g.rows {
				level = append(level, block[row])
			}
			blocks = append(blocks, level)
		}
	}
	fam.judge = func(ref int, o compare.Options) (*compare.Result, error) {
		o.Times, o.Seed, o.Progress = times, k.s.settings.Seed, k.progress()
		return compare.Reshuffled(k.ctx, values, blocks, ref, o)
	}
	k.e.Cautions = append(k.e.Cautions, spreadCaution(k.ctx, fam, values)...)
	return nil
}

// progress is the function to tell how far long work has come; none in a quiet rerun.
func (k *call) progress() func(done, total int) {
	if k.back != nil {
		return nil
	}
	return progress.From(k.ctx)
}

// The number of reshuffles that may be asked for.
const leastTimes, mostTimes = 99, 10_000_000

// times is how many reshuffles the command asks for, 0 where it does not say.
func (k *call) times() (int, error) {
	n, ok := k.c.Slots["times"].(phrase.Count)
	if ok && (n.Value < leastTimes || n.Value > mostTimes) {
		return 0, &page.Problem{Code: "out-of-range", At: n.At, Hint: "reshuffled 99999 times",
			Message: fmt.Sprintf("specimens can be reshuffled %d to %d times", leastTimes, mostTimes)}
	}
	return n.Value, nil
}

// spreadCaution warns of levels whose spreads differ: by Brown & Forsythe's test at 5 %, or
// an sd of more than three times another (common practice, no source).
func spreadCaution(ctx context.Context, fam *family, values [][]float64) []page.Sentence {
	low, high := math.Inf(1), 0.0
	for _, level := range values {
		if len(level) < 2 {
			continue
		}
		sd := sdOf(level)
		low, high = math.Min(low, sd), math.Max(high, sd)
	}
	o, err := compare.BrownForsythe(ctx, values)
	if high > 3*low || err == nil && o.P < 0.05 {
		return []page.Sentence{say.SpreadsDiffer(low, high, fam.unit)}
	}
	return nil
}

func sdOf(values []float64) float64 {
	mean := means([][]float64{values})[0]
	sum := 0.0
	for _, v := range values {
		sum += (v - mean) * (v - mean)
	}
	return math.Sqrt(sum / float64(len(values)-1))
}

// onLevel says which level an error of a comparison is about.
func (k *call) onLevel(err error, by phrase.ColumnRef, groups []group) error {
	var e *compare.Error
	if !errors.As(err, &e) || e.Level < 0 || e.Level >= len(groups) {
		return err
	}
	name := by.Column + " " + groups[e.Level].level
	switch e.Code {
	case "alone":
		return &page.Problem{Code: e.Code, At: by.At, Message: "one specimen of " + name + " tells nothing of its own spread",
			Hint: "leave the level out with `for`, or compare without uneven spread"}
	case "not-within-blocks":
		return &page.Problem{Code: e.Code, At: by.At, Message: "no block, nor a chain of blocks, joins " + name + " to " + by.Column + " " + groups[0].level +
			", so reshuffling within blocks cannot compare them"}
	}
	return err
}

// withBlocks adds the columns marked as blocks to those that an analysis knows of.
func (k *call) withBlocks(columns []string) ([]string, error) {
	_, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	for _, c := range markedBlocks(f) {
		if !slices.Contains(columns, c) {
			columns = append(columns, c)
		}
	}
	return columns, nil
}

// marked are the columns that are marked as blocks now, be the sample an earlier fit's.
func (k *call) marked(s *sample) []string {
	if f, ok := k.s.frame(s.series); ok {
		return markedBlocks(f)
	}
	return markedBlocks(s.frame)
}

func markedBlocks(f *frames.Frame) []string {
	var out []string
	for _, c := range f.Columns() {
		if c.Role == frames.Block {
			out = append(out, c.Name)
		}
	}
	return out
}

// blocks numbers the blocks of the specimens, one for each combination of values of the
// columns in the order met, and says what they are within; nil and "" for no columns.
func (s *sample) blocks(ctx context.Context, columns []string) (block []int, within string) {
	if len(columns) == 0 {
		return nil, ""
	}
	met := map[string]int{}
	for row := range s.frame.Len() {
		parallel.LookAt(ctx, row)
		key := ""
		for _, c := range columns {
			text, _ := s.frame.Cell(c, row)
			key += fmt.Sprintf("%q ", text)
		}
		b, ok := met[key]
		if !ok {
			b = len(met)
			met[key] = b
		}
		block = append(block, b)
	}
	within = " within each value of "
	for i, c := range columns {
		if i > 0 {
			within += " and "
		}
		within += c
	}
	return block, within
}
