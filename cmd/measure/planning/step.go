package planning

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"breakbook/cmd/measure/counted"
	"breakbook/models/design"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/models/place"
	"breakbook/models/resample"
)

// changeCase is a truth about a load along a cure temperature from 5 to 32 degC: nothing but scatter, a straight
// line, a jump or a kink at a place drawn from the middle half, joints enough on either side.
type changeCase struct {
	cell   int // of its streams of random numbers
	truth  string
	sought place.Kind
	n      int
	grid   bool    // ten temperatures, three degrees apart; else any
	size   float64 // in sds: of the jump, of the line over the whole range, of the kink over half of it
}

const (
	coldest, warmest = 5.0, 32.0
	loadSD           = 30.0
	changeConfidence = 0.95
	firstSeries      = 20 // counted apart, for a test to count again
)

// changeCases are the rows. The largest kink of 60 joints at ten temperatures is left out: its row alone would take
// a tenth of the time, and at any temperature it has one.
func changeCases() []changeCase {
	var out []changeCase
	row := 0
	add := func(truth string, sought place.Kind, n int, grid bool, size float64) {
		if truth != "kink" || n != 60 || !grid || size != 5 {
			out = append(out, changeCase{row, truth, sought, n, grid, size})
		}
		row++
	}
	for _, n := range []int{20, 60} {
		for _, grid := range []bool{true, false} {
			for _, size := range []float64{0, 1, 2.5} {
				add("jump", place.Step, n, grid, size)
			}
			for _, size := range []float64{0, 2, 5} {
				add("kink", place.Kink, n, grid, size)
			}
			add("line", place.Step, n, grid, 2)
		}
	}
	return out
}

// changeCounts are in how many series something came true, of so many.
type changeCounts struct {
	series                                     int
	clear, clearOfLine, held, asymptotic, size int
	near, far, specimen                        int
}

// series draws one: temperatures, loads, and what is true.
func (c changeCase) series(r *rand.Rand) (x, y []float64, at float64) {
	for {
		x = x[:0]
		for i := range c.n {
			t := coldest + (warmest-coldest)*r.Float64()
			if c.grid {
				t = coldest + 3*float64(i%10)
			}
			x = append(x, t)
		}
		at = coldest + (warmest-coldest)*(0.25+0.5*r.Float64())
		below := lists.Count(x, func(t float64) bool { return t <= at })
		if least := place.OnASide(c.n) + 2; below >= least && c.n-below >= least {
			break
		}
	}
	for _, t := range x {
		y = append(y, c.expected(t, at)+loadSD*r.NormFloat64())
	}
	return x, y, at
}

func (c changeCase) expected(t, at float64) float64 {
	switch {
	case c.truth == "line":
		return 300 + c.size*loadSD*(t-coldest)/(warmest-coldest)
	case c.truth == "kink":
		return 300 + 2*t + c.trueSize()*math.Max(0, t-at)
	case t > at:
		return 300 + c.trueSize()
	}
	return 300
}

func (c changeCase) trueSize() float64 {
	if c.truth == "kink" {
		return c.size * loadSD / ((warmest - coldest) / 2)
	}
	return c.size * loadSD
}

// one looks for the change in one series, and adds what came true.
func (c changeCase) one(ctx context.Context, r *rand.Rand, seed uint64, to *changeCounts) error {
	x, y, at := c.series(r)
	m := design.Model{Variables: []design.Variable{{Numbers: x}}}
	data := place.Data{Y: y, X: x}
	change := design.Factor{Function: design.Step}
	options := place.Options{Confidence: changeConfidence, Seed: seed, Line: x}
	if c.sought == place.Kink {
		change.Function, options.Line = design.Kink, nil
		m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{{}}})
	}
	base, err := design.Spell(ctx, c.n, m, design.FromBaseline)
	if err != nil {
		return err
	}
	data.Base = base.Columns
	found, err := place.Find(ctx, c.sought, data, options)
	if err != nil {
		return err
	}
	to.series++
	count := func(of *int, is bool) { *of += bit(is) }
	count(&to.clear, found.P <= 1-changeConfidence)
	count(&to.clearOfLine, found.PLine <= 1-changeConfidence)
	if c.size == 0 || c.truth == "line" {
		return nil
	}
	count(&to.held, (found.LowIsEnd || found.Low <= at) && (found.HighIsEnd || at <= found.High))
	count(&to.size, found.SizeLow <= c.trueSize() && c.trueSize() <= found.SizeHigh)
	hansen := -2 * math.Log(1-math.Sqrt(changeConfidence))
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range found.Places {
		if float64(found.N)*(p.RSS-found.RSS)/found.RSS <= hansen {
			low, high = min(low, p.From), max(high, p.To)
		}
	}
	count(&to.asymptotic, low <= at && at <= high)
	m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{change}})
	open, err := place.LeaveOpen(ctx, y, m, len(m.Terms)-1, found)
	if err != nil {
		return err
	}
	const tenth = (warmest - coldest) / 10
	nearby := at + tenth*(2*r.Float64()-1)
	anywhere := coldest + (warmest-coldest)*r.Float64()
	for _, asked := range []struct {
		x  float64
		to *int
	}{{nearby, &to.near}, {anywhere, &to.far}} {
		mean, specimen, _ := open.Expected(ctx, linear.Point{Numbers: map[int]float64{0: asked.x}})
		low, high := mean.Interval(changeConfidence)
		truth := c.expected(asked.x, at)
		count(asked.to, low <= truth && truth <= high)
		if asked.to == &to.far {
			low, high = specimen.Interval(changeConfidence)
			made := truth + loadSD*r.NormFloat64()
			count(&to.specimen, low <= made && made <= high)
		}
	}
	return nil
}

// counted counts over so many series; the same for any number of cores.
func (c changeCase) counted(ctx context.Context, from, to int, seed uint64) (changeCounts, error) {
	return counted.Sum(ctx, to-from, (*changeCounts).add, func(ctx context.Context, i int) (own changeCounts,
		err error) {
		stream := c.cell*1_000_000 + from + i
		err = c.one(ctx, resample.Stream(seed, stream), seed+uint64(stream), &own)
		return own, err
	})
}

func (a *changeCounts) add(b changeCounts) {
	a.series += b.series
	a.clear += b.clear
	a.clearOfLine += b.clearOfLine
	a.held += b.held
	a.asymptotic += b.asymptotic
	a.size += b.size
	a.near += b.near
	a.far += b.far
	a.specimen += b.specimen
}

// stepPart counts how often a change is clear where there is none and where there is one, and how often the
// intervals hold the truth.
func stepPart(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "Loads of sd 30 along temperatures of 5 to 32 degC, %d series a row. A jump of so many sds, a "+
		"kink that bends off\nby so many over half the range, a straight line that rises by so many over all of it "+
		"(and a jump looked for). In %%:\np <= 0.05 over all places; the same against a straight line; intervals "+
		"of 95 %% that hold the place (beside it: by the\nlimit for large n, Hansen 2000), the size, the mean "+
		"expected within a tenth of the range of the place and anywhere, and\none new specimen anywhere. "+
		"Simulation error (2 sd) of 95 %%: %.1f. Last: p, place, size and near of the first %d series.\n\n",
		series, 200*math.Sqrt(0.05*0.95/float64(series)), firstSeries)
	fmt.Fprintf(out, "%-6s %3s %-6s %5s %8s %8s %7s %8s %7s %7s %9s %9s  %s\n", "truth", "n", "temps", "size",
		"p<=0.05", "of line", "place", "(large)", "size", "near", "anywhere", "specimen", "first")
	for _, c := range changeCases() {
		first, err := c.counted(ctx, 0, min(firstSeries, series), seed)
		if err != nil {
			return err
		}
		all, err := c.counted(ctx, min(firstSeries, series), series, seed)
		if err != nil {
			return err
		}
		all.add(first)
		fmt.Fprintln(out, c.row(all, first))
	}
	return nil
}

// row is a line of the table.
func (c changeCase) row(all, first changeCounts) string {
	percent := func(n int) string { return fmt.Sprintf("%.1f", 100*float64(n)/float64(all.series)) }
	layout, line := "any", "-"
	if c.grid {
		layout = "grid"
	}
	if c.sought == place.Step {
		line = percent(all.clearOfLine)
	}
	s := fmt.Sprintf("%-6s %3d %-6s %5g %8s %8s", c.truth, c.n, layout, c.size, percent(all.clear), line)
	if c.size == 0 || c.truth == "line" {
		return s + fmt.Sprintf("%61s  %d", "", first.clear)
	}
	return s + fmt.Sprintf(" %7s %8s %7s %7s %9s %9s  %d %d %d %d", percent(all.held), percent(all.asymptotic),
		percent(all.size), percent(all.near), percent(all.far), percent(all.specimen), first.clear, first.held,
		first.size, first.near)
}
