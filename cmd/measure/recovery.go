package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"path/filepath"

	"github.com/natefinch/atomic"
	"github.com/spf13/pflag"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"

	"breakbook/cmd/measure/typed"
	"breakbook/models/dist"
	"breakbook/models/resample"
	"breakbook/models/strength"
	"breakbook/repl/page"
)

// The known strengths: of a glue line with and without a pair of pins, and of the wood, in
// N, all Weibull. About as many joints break in the wood as in the glue line.
const (
	recoverySeed  = 20
	recoverySize  = 40 // specimens a series, half of them a level
	glueScale     = 400.0
	glueShape     = 8.0
	pairGain      = 1.08
	woodScale     = 415.0
	woodShape     = 9.0
	relatedBy     = 0.9 // correlation of the normal scores of a specimen's two strengths, in the related run
	leastCoverage = 0.91
	mostCoverage  = 0.97
)

var recoveryLevels = []string{"none", "pair"}

// glueMedian is the median of the glue line's own strength at a level.
func glueMedian(level int) float64 {
	return glueScale * math.Pow(pairGain, float64(level)) * math.Pow(math.Ln2, 1/glueShape)
}

// recovered is what a run of series came to.
type recovered struct {
	related          bool
	series, refused  int
	held             [3]int // series whose range held the truth: the two medians, their ratio
	within           [2]int // series whose bounds held the median
	allowed          [2]int // the same of the bounds with the scatter of the joints allowed for
	loads            [2][]float64
	ended            [2][]bool
	pooled           [2]bool // whether the bounds of all specimens together held it
	mean, error, min [2]float64
}

// measureRecovery asks many invented series, whose strengths are known, for the strength of
// the glue line, and prints how often the intervals hold the truth.
func measureRecovery(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("recovery", pflag.ContinueOnError)
	series := flags.Int("series", 2000, "how many series a run")
	seed := flags.Uint64("seed", recoverySeed, "which invented series")
	to := flags.String("to", "", "a folder to write the tables and the first series of each run to")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *series < 2 {
		return errors.New("at least two series are needed")
	}
	var runs [2]recovered
	for i := range runs {
		var err error
		if runs[i], err = recoverStrengths(ctx, *seed, *series, i == 1); err != nil {
			return err
		}
	}
	printRecovery(out, runs)
	if *to == "" {
		return nil
	}
	for _, f := range recoveryFiles(*seed, runs) {
		path := filepath.Join(*to, f.name)
		if err := atomic.WriteFile(path, bytes.NewReader(f.content)); err != nil {
			return err
		}
		fmt.Fprintf(out, "%s, %d bytes\n", path, len(f.content))
	}
	return nil
}

// recoverStrengths runs the series through the program's own commands.
func recoverStrengths(ctx context.Context, seed uint64, series int, related bool) (recovered, error) {
	r := recovered{related: related, series: series}
	for i := range series {
		if err := ctx.Err(); err != nil {
			return r, err
		}
		e, err := typed.Ask(ctx, string(r.joints(resample.Stream(seed, i))), "fit load until failure is glue on pins")
		var p *page.Problem
		switch {
		case errors.As(err, &p) && p.Code == "too-few-breaks":
			r.refused++
			continue
		case err != nil:
			return r, fmt.Errorf("series %d: %w", i, err)
		}
		r.count(e)
	}
	for level := range recoveryLevels {
		b := strength.Bounds(ctx, r.loads[level], r.ended[level])
		r.pooled[level] = b.Low <= glueMedian(level) && glueMedian(level) <= b.High
		mean, sd := stat.MeanStdDev(r.loads[level], nil)
		r.mean[level], r.error[level] = mean, sd/math.Sqrt(float64(len(r.loads[level])))
		r.min[level] = expectedLeast(level)
	}
	return r, nil
}

// joints draws one series as a CSV and keeps its loads.
func (r *recovered) joints(draw *rand.Rand) []byte {
	var csv bytes.Buffer
	csv.WriteString("specimen,pins,load (N),failure\n")
	for i := range recoverySize {
		level := i % len(recoveryLevels)
		a, b := draw.NormFloat64(), draw.NormFloat64()
		if r.related {
			b = relatedBy*a + math.Sqrt(1-relatedBy*relatedBy)*b
		}
		glue := weibull(a, glueScale*math.Pow(pairGain, float64(level)), glueShape)
		wood := weibull(b, woodScale, woodShape)
		mode := "wood"
		if glue < wood {
			mode = "glue"
		}
		load := math.Round(10*math.Min(glue, wood)) / 10
		fmt.Fprintf(&csv, "%d,%s,%.1f,%s\n", i+1, recoveryLevels[level], load, mode)
		r.loads[level], r.ended[level] = append(r.loads[level], load), append(r.ended[level], mode == "glue")
	}
	return csv.Bytes()
}

// weibull is the strength that stands where the normal score stands.
func weibull(score, scale, shape float64) float64 {
	return scale * math.Pow(-math.Log(dist.NormalTail(score)), 1/shape)
}

// count notes whether the intervals and bounds of one entry hold the truth.
func (r *recovered) count(e page.Entry) {
	truth := []float64{glueMedian(0), glueMedian(1), glueMedian(1) / glueMedian(0)}
	var low, high, least, most, lowest, highest []float64
	for _, t := range e.Tables {
		for _, row := range t.Rows {
			switch t.ID {
			case "strengths":
				low, high = append(low, end(row[2], -1)), append(high, end(row[3], 1))
			case "bounds":
				least, most = append(least, end(row[1], -1)), append(most, end(row[2], 1))
			case "bound_ranges":
				lowest, highest = append(lowest, end(row[1], -1)), append(highest, end(row[2], 1))
			case "ratios":
				low, high = append(low, end(row[3], -1)), append(high, end(row[4], 1))
			}
		}
	}
	if len(low) < len(truth) { // a level was left out: nothing is said of it
		r.refused++
		return
	}
	for i, x := range truth {
		if low[i] <= x && x <= high[i] {
			r.held[i]++
		}
		if i < len(least) && least[i] <= x && x <= most[i] {
			r.within[i]++
		}
		if i < len(lowest) && lowest[i] <= x && x <= highest[i] {
			r.allowed[i]++
		}
	}
}

// end is one end of an interval; an empty cell has no limit on its side.
func end(c page.Cell, side int) float64 {
	if c.Kind != page.Number {
		return math.Inf(side)
	}
	return c.Num
}

// expectedLeast is the mean of the smaller of two unrelated strengths: the integral of the
// chance that both exceed x, by a Legendre rule.
func expectedLeast(level int) float64 {
	scale := glueScale * math.Pow(pairGain, float64(level))
	both := func(x float64) float64 {
		return math.Exp(-math.Pow(x/scale, glueShape) - math.Pow(x/woodScale, woodShape))
	}
	return quad.Fixed(both, 0, 2*glueScale, 400, quad.Legendre{}, 0)
}
