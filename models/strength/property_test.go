package strength

import (
	"context"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawn is a random sample: a baseline, up to two kinds and a number, loads of which some are
// cut short, now and then all of one kind; so hardly any may break at all.
func drawn(t *rapid.T) Sample {
	n := rapid.IntRange(2, 60).Draw(t, "n")
	s := Sample{Columns: make([][]float64, rapid.IntRange(1, 4).Draw(t, "columns"))}
	never := rapid.IntRange(-2, 3).Draw(t, "never")
	cut := rapid.Float64Range(0, 0.9).Draw(t, "cut")
	for i := range n {
		kind := i % len(s.Columns)
		for j := range s.Columns {
			x := 0.0
			switch {
			case j == 0:
				x = 1
			case j == 3:
				x = rapid.Float64Range(-50, 50).Draw(t, "x")
			case j == kind:
				x = 1
			}
			s.Columns[j] = append(s.Columns[j], x)
		}
		s.Load = append(s.Load, rapid.Float64Range(200, 600).Draw(t, "load"))
		broke := rapid.Float64Range(0, 1).Draw(t, "chance") > cut
		s.Ended = append(s.Ended, kind != never && broke)
	}
	return s
}

// Whatever the sample: a wider confidence holds a narrower one, estimates lie in their interval,
// loads in another unit move places and nothing else, and the chance at zero agrees with the
// interval about whether zero is in it.
func TestRangesOfAnySample(t *testing.T) {
	ctx := context.Background()
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t)
		d := rapid.SampledFrom([]Distribution{Weibull, Lognormal}).Draw(t, "distribution")
		f, err := Solve(ctx, s, d)
		var e *Error
		if errors.As(err, &e) && (e.Code == "too-few-breaks" || e.Code == "all-equal") {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		w := make([]float64, len(s.Columns))
		w[len(w)-1] = 1
		take := f.Difference
		if len(w) == 1 {
			take = f.Location
		}
		rangesOfAll(t, f, s)
		wide, err := take(ctx, w, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		narrow, err := take(ctx, w, 0.80)
		if err != nil {
			t.Fatal(err)
		}
		if math.IsInf(wide.Range.Low, -1) && math.IsInf(wide.Range.High, 1) {
			return // the breaks say nothing of it: the columns depend on each other where there are any
		}
		if !(wide.Range.Low < narrow.Range.Low || math.IsInf(wide.Range.Low, -1)) ||
			!(narrow.Range.High < wide.Range.High || math.IsInf(wide.Range.High, 1)) ||
			!(narrow.Range.Low <= wide.Value && wide.Value <= narrow.Range.High) {
			t.Fatalf("80 %% %+v and 95 %% %+v do not lie within each other", narrow, wide)
		}
		if len(w) > 1 && !math.IsInf(wide.Value, 0) {
			p, err := f.Chance(ctx, w)
			if err != nil {
				t.Fatal(err)
			}
			if out := wide.Range.Low > 1e-9 || wide.Range.High < -1e-9; out != (p < 0.05) &&
				!(math.Abs(p-0.05) <= 1e-6) {
				t.Fatalf("p %g does not go with the range %v", p, wide.Range)
			}
		}
		for i := range s.Load {
			s.Load[i] *= 1000
		}
		g, err := Solve(ctx, s, d)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(g.Spread/f.Spread-1) <= 1e-6) {
			t.Fatalf("the spread is %g in one unit and %g in another", f.Spread, g.Spread)
		}
		want := f.LogLikelihood - float64(f.Ended)*math.Log(1000)
		if !(math.Abs(g.LogLikelihood-want) <= 1e-6) {
			t.Fatalf("the log likelihood is %.9f, want %.9f", g.LogLikelihood, want)
		}
	})
}

// rangesOfAll takes every interval that the command takes: each has to be found.
func rangesOfAll(t *rapid.T, f *Fit, s Sample) {
	ctx := context.Background()
	confidence := rapid.SampledFrom([]float64{0.5, 0.9, 0.95, 0.9833, 0.999}).Draw(t, "confidence")
	_, err := f.inverse(ctx, confidence)
	found := []error{err}
	for j := range s.Columns {
		w := make([]float64, len(s.Columns))
		w[j] = 1
		if j > 0 {
			_, err := f.Difference(ctx, w, confidence)
			found = append(found, err)
		}
		w[0] = 1
		for _, p := range []float64{0.05, 0.5} {
			_, err := f.Quantile(ctx, w, p, confidence)
			found = append(found, err)
		}
		_, err := f.Location(ctx, w, confidence)
		found = append(found, err)
	}
	if err := errors.Join(found...); err != nil {
		t.Fatal(err)
	}
}

// A kind that never breaks can be as strong as one likes, and then its specimens say nothing:
// what is known of the others is what they say without it, whichever kind is the baseline.
func TestKindThatNeverBreaksSaysNothingOfOthers(t *testing.T) {
	ctx := context.Background()
	load := []float64{310, 322, 287, 341, 350, 298, 305, 333, 312, 346, 290, 401}
	for _, d := range []Distribution{Weibull, Lognormal} {
		alone := Sample{Columns: make([][]float64, 1)}
		both := Sample{Columns: make([][]float64, 2)}
		for i, y := range load {
			kind := float64(i % 2)
			if kind == 1 {
				alone.Load, alone.Ended = append(alone.Load, y), append(alone.Ended, i%3 != 0)
				alone.Columns[0] = append(alone.Columns[0], 1)
			}
			both.Load, both.Ended = append(both.Load, y), append(both.Ended, kind == 1 && i%3 != 0)
			both.Columns[0], both.Columns[1] = append(both.Columns[0], 1), append(both.Columns[1], kind)
		}
		f, g := solve(t, alone, d), solve(t, both, d)
		for _, p := range []float64{0.05, 0.5} {
			want, err := f.Quantile(ctx, []float64{1}, p, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			got, err := g.Quantile(ctx, []float64{1, 1}, p, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			near(t, d.Name()+" value", got.Value, want.Value, 1e-6)
			near(t, d.Name()+" low", got.Range.Low, want.Range.Low, 1e-6)
			near(t, d.Name()+" high", got.Range.High, want.Range.High, 1e-6)
			never, err := g.Quantile(ctx, []float64{1, 0}, p, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			if !math.IsInf(never.Range.High, 1) || !math.IsInf(never.Value, 1) {
				t.Errorf("%s: the kind that never breaks has %+v", d.Name(), never)
			}
		}
	}
}
