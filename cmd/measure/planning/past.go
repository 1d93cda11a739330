package planning

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
)

// The loads of the invented joints, in N: their mean, scatter, and the difference of two levels of pins where there
// is one, which is what is worth having.
const pastMean, pastScatter, pastGap = 400.0, 40.0, 40.0

// pastCase is one kind of past: how many series, how far they lie apart (sd), how many of eight of their joints have no
// pins (four: as in the newest), what the pins do in the past, as a share of what they do now, and how it is asked.
type pastCase struct {
	series int
	apart  float64
	none   int
	share  float64
	differ bool // series are given to differ by what they do
}

func pastCases() []pastCase {
	var out []pastCase
	for _, differ := range []bool{false, true} {
		for _, k := range []int{1, 2, 3} {
			out = append(out, pastCase{k, 40, 4, 1, differ}, pastCase{k, 40, 7, 1, differ})
		}
		out = append(out, pastCase{2, 40, 4, 0, differ}, pastCase{2, 40, 4, -1, differ})
	}
	return out
}

// pastSeriesOf invents a series of 16 joints.
func pastSeriesOf(none int, gap, shift float64, r *rand.Rand) string {
	var b strings.Builder
	b.WriteString("specimen,pins,load (N)\n")
	for i := range 16 {
		level, up := "none", 0.0
		if i%8 >= none {
			level, up = "pair", gap
		}
		fmt.Fprintf(&b, "%d,%s,%.4f\n", i+1, level, pastMean+up+shift+pastScatter*r.NormFloat64())
	}
	return b.String()
}

// pastCount is what came of some series.
type pastCount struct {
	held, alone  int // intervals that hold what the pins do now: of all series, of the newest alone
	differs      int // that they differ
	doubted      int // with the doubt that what pins do depends on the series
	long, length float64
}

func (n *pastCount) add(o pastCount) {
	n.held, n.alone, n.differs, n.doubted = n.held+o.held, n.alone+o.alone, n.differs+o.differs, n.doubted+o.doubted
	n.long, n.length = n.long+o.long, n.length+o.length
}

// count asks series of one kind in which the pins do so much now; at is the place of the kind.
func (c pastCase) count(ctx context.Context, at, series int, gap float64, seed uint64) (pastCount, error) {
	return counted.Sum(ctx, series, (*pastCount).add, func(ctx context.Context, i int) (n pastCount, err error) {
		r := rand.New(rand.NewPCG(seed, uint64(at)<<33+uint64(gap)<<24+uint64(i)))
		var b typed.Book
		var names []string
		for s := range c.series {
			names = append(names, fmt.Sprintf("p%d", s+1))
			past := pastSeriesOf(c.none, c.share*gap, c.apart*r.NormFloat64(), r)
			if err := b.Open(ctx, names[s], past); err != nil {
				return n, err
			}
		}
		if err := b.Open(ctx, "now", pastSeriesOf(4, gap, c.apart*r.NormFloat64(), r)); err != nil {
			return n, err
		}
		line := "fit load on pins with series " + strings.Join(names, ", ")
		if c.differ {
			line += fmt.Sprintf(" series differ by %g N", c.apart)
		}
		all, err := compared(ctx, &b, line+"; compare pins of fit1")
		if err != nil {
			return n, err
		}
		own, err := compared(ctx, &b, "fit load on pins; compare pins of fit2")
		return pastCount{held: all.holds(gap), alone: own.holds(gap),
			differs: bit(strings.HasPrefix(all.answer, "differs")),
			doubted: bit(slices.Contains(all.doubts, "combination")), long: all.length(), length: own.length()}, err
	})
}

// name is the beginning of the case's rows.
func (c pastCase) name(gap float64) string {
	effect := "fixed"
	if c.differ {
		effect = "random"
	}
	return fmt.Sprintf("%-7s %2d %5d/8 %7.0f %6.0f", effect, c.series, c.none, c.share*gap, gap)
}

// row is a line of the table.
func (c pastCase) row(n pastCount, gap float64, series int) string {
	share := func(k int) float64 { return 100 * float64(k) / float64(series) }
	return fmt.Sprintf("%s %7.1f%% %7.1f%% %8.1f%% %8.1f%% %8.1f %8.1f", c.name(gap), share(n.held), share(n.alone),
		share(n.differs), share(n.doubted), n.long/float64(series), n.length/float64(series))
}

// pastPart prints what past series drawn in do for the interval of a difference of two levels.
func pastPart(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "What past series of 16 joints do for the difference that pins make in a newest one of 16, half "+
		"of them without pins; joints\nscatter by %.0f N, series by as much (sd). Series are a term (fixed) or said "+
		"to differ by that sd (random); so many of eight of\nthe past joints have no pins; pins make so much then and "+
		"now, N. How often the 95 %% interval holds what they do now, with\nthe past and alone; how often the answer "+
		"is that they differ, with the doubt that it depends on the series; mean\nlengths, N. %d series a line.\n\n",
		pastScatter, series)
	fmt.Fprintf(out, "%-7s %2s %7s %7s %6s %8s %8s %9s %9s %8s %8s\n", "series", "n", "none", "then", "now", "held",
		"alone", "differs", "doubted", "length", "alone")
	for at, c := range pastCases() {
		for _, gap := range []float64{0, pastGap} {
			if c.share != 1 && gap == 0 {
				continue // pins that do nothing now do not do another thing then
			}
			n, err := c.count(ctx, at, series, gap, seed)
			if err != nil {
				return err
			}
			fmt.Fprintln(out, c.row(n, gap, series))
		}
	}
	return nil
}
