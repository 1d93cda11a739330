package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"breakbook/models/compare"
	"breakbook/models/resample"
)

// scipyProgram reshuffles two groups with scipy, for the difference of means (its quickest)
// and for t, and prints the version and, of each, the best time and p.
const scipyProgram = `import json, sys, time
import numpy, scipy
from scipy import stats
given = json.loads(sys.stdin.read())
a, b = given["first"], given["second"]
def difference(x, y, axis):
    return numpy.mean(x, axis=axis) - numpy.mean(y, axis=axis)
def t(x, y, axis):
    return stats.ttest_ind(x, y, axis=axis).statistic
print(scipy.__version__)
for statistic in difference, t:
    best = None
    for _ in range(given["runs"]):
        started = time.perf_counter()
        r = stats.permutation_test((a, b), statistic, vectorized=True, n_resamples=given["times"], random_state=1)
        took = time.perf_counter() - started
        best = took if best is None else min(best, took)
    print(best, r.pvalue)
`

// measureReshuffle times reshuffles of two groups of twenty, on every core and on one,
// against scipy's permutation_test where there is one.
func measureReshuffle(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("reshuffle", pflag.ContinueOnError)
	times := flags.Int("times", 100_000, "how many reshuffles")
	runs := flags.Int("runs", 5, "how often; the best time is shown")
	python := flags.String("python", "/usr/bin/python3", "a Python that has scipy")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *times < 1 || *runs < 1 {
		return errors.New("at least one reshuffle and one run are needed")
	}
	values := twoGroups()
	w := plainTable("", "seconds", "p")
	ours, err := bestReshuffle(ctx, values, *times, *runs)
	if err != nil {
		return err
	}
	w.AppendRow([]any{fmt.Sprintf("breakbook, t, %d cores", runtime.GOMAXPROCS(0)), seconds(ours.took), ours.p})
	cores := runtime.GOMAXPROCS(1)
	one, err := bestReshuffle(ctx, values, *times, *runs)
	runtime.GOMAXPROCS(cores)
	if err != nil {
		return err
	}
	w.AppendRow([]any{"breakbook, t, one core", seconds(one.took), one.p})
	fmt.Fprintf(out, "%d reshuffles of two groups of 20; the best of %d runs, of %d with scipy\n", *times, 10**runs,
		*runs)
	version, theirs := scipyReshuffle(ctx, *python, values, *times, *runs)
	for i, statistic := range []string{"difference of means", "t"} {
		if theirs != nil {
			w.AppendRow([]any{"scipy " + version + ", " + statistic, seconds(theirs[i].took), theirs[i].p})
		}
	}
	fmt.Fprintln(out, w.Render())
	if theirs == nil {
		fmt.Fprintln(out, "There is no scipy to compare with: it is Debian's python3-scipy, or name a Python that has "+
			"it with --python.")
	} else {
		fmt.Fprintf(out, "breakbook takes %.3f of scipy's time for the difference of means, %.3f for t\n",
			ours.took.Seconds()/theirs[0].took.Seconds(), ours.took.Seconds()/theirs[1].took.Seconds())
	}
	if one.p != ours.p {
		return fmt.Errorf("p is %v on one core and %v on %d", one.p, ours.p, cores)
	}
	return nil
}

func seconds(d time.Duration) string { return fmt.Sprintf("%.4f", d.Seconds()) }

// reshuffled is how long it took, and what came of it.
type reshuffled struct {
	took time.Duration
	p    float64
}

// twoGroups are two groups of twenty, half an sd apart.
func twoGroups() [][]float64 {
	draw := resample.Stream(20, 0)
	values := make([][]float64, 2)
	for i := range 40 {
		values[i%2] = append(values[i%2], 400+40*draw.NormFloat64()+20*float64(i%2))
	}
	return values
}

func bestReshuffle(ctx context.Context, values [][]float64, times, runs int) (best reshuffled, err error) {
	for run := range 10 * runs { // scipy takes so long that its best finds a quiet moment
		started := time.Now()
		r, err := compare.Reshuffled(ctx, values, nil, -1, compare.Options{Seed: 1, Times: times})
		if err != nil {
			return best, err
		}
		if took := time.Since(started); run == 0 || took < best.took {
			best = reshuffled{took, r.Differences[0].P}
		}
	}
	return best, nil
}

// scipyReshuffle does the same with scipy; nil where there is none.
func scipyReshuffle(ctx context.Context, python string, values [][]float64,
	times, runs int) (version string, out []reshuffled) {
	c := exec.CommandContext(ctx, python, "-c", scipyProgram)
	list := func(v []float64) string { return strings.ReplaceAll(fmt.Sprint(v), " ", ", ") }
	c.Stdin = strings.NewReader(fmt.Sprintf(`{"first": %s, "second": %s, "times": %d, "runs": %d}`, list(values[0]),
		list(values[1]), times, runs))
	said, err := c.Output()
	if err != nil {
		return "", nil
	}
	for i, line := range strings.Split(strings.TrimSpace(string(said)), "\n") {
		if i == 0 {
			version = line
			continue
		}
		var took, p float64
		if _, err := fmt.Sscan(line, &took, &p); err != nil {
			return "", nil
		}
		out = append(out, reshuffled{time.Duration(took * float64(time.Second)), p})
	}
	if len(out) != 2 {
		return "", nil
	}
	return version, out
}
