package planning

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
)

// The loads of the invented joints, in N: their mean, what one kg/m³ of density adds, their scatter, and the
// difference of the two levels of pins.
const (
	adjustMean, adjustSlope, adjustScatter, adjustGap = 400.0, 0.5, 30.0, 30.0
)

// adjustCase is one kind of series brought to density 600: how many joints a level has, by how many sd of density those
// with a pair of pins are denser, and the fit whose slope is taken.
type adjustCase struct {
	perLevel int
	denser   float64
	fit      string
}

func adjustCases() []adjustCase {
	var out []adjustCase
	for _, n := range []int{4, 8, 16} {
		for _, denser := range []float64{0, 1, 2} {
			for _, fit := range []string{"density, pins", "density"} {
				out = append(out, adjustCase{n, denser, fit})
			}
		}
	}
	return out
}

// csv is one such series.
func (c adjustCase) csv(r *rand.Rand) string {
	var b strings.Builder
	b.WriteString("specimen,pins,density (kg/m3),load (N)\n")
	for i := range 2 * c.perLevel {
		level, gap, shift := "none", 0.0, 0.0
		if i%2 == 1 {
			level, gap, shift = "pair", adjustGap, c.denser
		}
		density := 600 + 40*(r.NormFloat64()+shift)
		load := adjustMean + gap + adjustSlope*(density-600) + adjustScatter*r.NormFloat64()
		fmt.Fprintf(&b, "%d,%s,%.2f,%.4f\n", i+1, level, density, load)
	}
	return b.String()
}

// adjustCount is what came of some series: by the comparison of the adjusted column and by that of its bare numbers,
// how many intervals held the truth, and their lengths.
type adjustCount struct {
	held, bare  int
	long, short float64
}

func (n *adjustCount) add(o adjustCount) {
	n.held, n.bare, n.long, n.short = n.held+o.held, n.bare+o.bare, n.long+o.long, n.short+o.short
}

// count asks series of one kind; at is the place of the kind.
func (c adjustCase) count(ctx context.Context, at, series int, seed uint64) (adjustCount, error) {
	return counted.Sum(ctx, series, (*adjustCount).add, func(ctx context.Context, i int) (n adjustCount, err error) {
		var b typed.Book
		if err := b.Open(ctx, "s", c.csv(rand.New(rand.NewPCG(seed, uint64(at)<<32+uint64(i))))); err != nil {
			return n, err
		}
		adjusted, err := compared(ctx, &b, "fit load on "+c.fit+"; adjust load to density 600; "+
			"compare load_adjusted by pins")
		if err != nil {
			return n, err
		}
		// numbers times one are no adjusted column any more, so that their slope is taken as exact
		bare, err := compared(ctx, &b, "work out bare = load_adjusted * 1; compare bare by pins")
		return adjustCount{adjusted.holds(adjustGap), bare.holds(adjustGap), adjusted.length(), bare.length()}, err
	})
}

// name is the beginning of the case's row.
func (c adjustCase) name() string {
	return fmt.Sprintf("%-16s %3d %4.0f", strings.ReplaceAll(c.fit, ", ", " and "), c.perLevel, c.denser)
}

// row is a line of the table.
func (c adjustCase) row(n adjustCount, series int) string {
	share := func(k int) float64 { return 100 * float64(k) / float64(series) }
	return fmt.Sprintf("%s %9.1f%% %9.1f%% %10.1f %10.1f", c.name(), share(n.held), share(n.bare),
		n.long/float64(series), n.short/float64(series))
}

// adjustPart prints how often the interval of a difference of an adjusted column holds the truth, beside that of the
// same numbers with the slope taken as exact.
func adjustPart(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "How often the 95 %% interval of the difference of two levels of pins holds the truth (%.0f "+
		"N), load adjusted to density\n600: compared as an adjusted column, and as bare numbers with the slope "+
		"taken as exact; the mean length of both, N. Joints\nwith a pair come from blanks that are denser by so "+
		"many sd. %d series a line.\n\n", adjustGap, series)
	fmt.Fprintf(out, "%-16s %3s %4s %10s %10s %10s %10s\n", "slope of the fit", "n", "sd", "held", "bare", "length",
		"bare")
	for at, c := range adjustCases() {
		n, err := c.count(ctx, at, series, seed)
		if err != nil {
			return err
		}
		fmt.Fprintln(out, c.row(n, series))
	}
	return nil
}
