package meta

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"
)

// near fails where got is off by more than within of want (of 1, where want is smaller).
func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Max(1, math.Abs(want))) {
		t.Errorf("%s: %.14g, want %.14g", what, got, want)
	}
}

// testdata/reference/checks.json: the between variance by scipy's brentq, the formulas by
// hand (the script beside it). Iterated figures are asked to 1e-6, closed ones to 1e-8.
func TestReference(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/reference/checks.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Together []struct {
			Estimates, SE   []float64
			Between, Mean   float64
			SEMean          float64 `json:"se_mean"`
			Low, High, P, Q float64
			QP              float64 `json:"q_p"`
			Fixed           float64
			FixedSE         float64 `json:"fixed_se"`
		}
	}
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Together) != 60 {
		t.Fatalf("%d cases", len(file.Together))
	}
	zero := 0
	for _, c := range file.Together {
		var series []Series
		for i, y := range c.Estimates {
			series = append(series, Series{Estimate: y, SE: c.SE[i]})
		}
		got, err := Agree(series, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if c.Between == 0 {
			zero++
		}
		near(t, "between", got.Between, c.Between, 1e-6)
		near(t, "mean", got.Mean, c.Mean, 1e-6)
		near(t, "standard error", got.SE, c.SEMean, 1e-6)
		near(t, "low", got.Range.Low, c.Low, 1e-6)
		near(t, "high", got.Range.High, c.High, 1e-6)
		near(t, "p", got.P, c.P, 1e-6)
		near(t, "q", got.Q, c.Q, 1e-8)
		near(t, "p of q", got.QP, c.QP, 1e-8)
		near(t, "fixed", got.FixedMean, c.Fixed, 1e-8)
		near(t, "its standard error", got.FixedSE, c.FixedSE, 1e-8)
		sum := 0.0
		for _, w := range got.Weights {
			sum += w
		}
		near(t, "weights", sum, 1, 1e-12)
	}
	if zero < 5 || zero > 55 {
		t.Errorf("%d of 60 cases have no variance between them: the cases no longer cover both", zero)
	}
}

// Steps end with all, and each is Agree of the first few.
func TestSteps(t *testing.T) {
	series := []Series{{10, 2, 0}, {14, 3, 0}, {30, 2.5, 0}, {12, 1, 0}}
	steps, err := Steps(series, 0.95)
	if err != nil || len(steps) != 3 {
		t.Fatalf("%d steps (%v)", len(steps), err)
	}
	for i, s := range steps {
		want, err := Agree(series[:i+2], 0.95)
		if err != nil || s.Mean != want.Mean || s.Range != want.Range {
			t.Errorf("step %d: %+v, want %+v (%v)", i, s, want, err)
		}
	}
}

func TestCannot(t *testing.T) {
	for _, c := range []struct {
		series []Series
		code   string
		at     int
	}{{nil, "too-few-series", -1}, {[]Series{{1, 1, 0}}, "too-few-series", -1}, {[]Series{{1, 1, 0}, {2, 0, 0}},
		"no-spread", 1},
		{[]Series{{math.NaN(), 1, 0}, {2, 1, 0}}, "not-a-number", 0}, {[]Series{{1, 1, 0}, {2, math.Inf(1), 0}},
			"not-a-number", 1}} {
		var e *Error
		if _, err := Agree(c.series, 0.95); !errors.As(err, &e) || e.Code != c.code || e.Series != c.at {
			t.Errorf("%v: %v, want %s", c.series, err, c.code)
		}
	}
}

// Two agreeing series are no weaker than one of them; the figures are by scipy 1.10.1
// (betainc, and brentq for quantiles) from Satterthwaite's (1946) formula.
func TestAgreeingSeriesAnswerAsOne(t *testing.T) {
	got, err := Agree([]Series{{90, 20, 12}, {100, 25, 9}}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if !got.AsOne {
		t.Fatal("two agreeing series answer by what they say of how series differ, which is nothing")
	}
	near(t, "degrees of freedom", got.FixedDF, 20.874784408416694, 1e-9)
	_, at, ninety, p := got.Answering()
	near(t, "low", at.Low, 61.41246081075067, 1e-8)
	near(t, "high", at.High, 126.3924172380298, 1e-8)
	near(t, "low at 90 %", ninety.Low, 67.02151630209389, 1e-8)
	near(t, "p", p, 5.88844852622249e-06, 1e-6)
	for _, s := range []Series{{90, 20, 12}, {100, 25, 9}} {
		if alone := s.Own(0.95); at.High-at.Low >= alone.High-alone.Low {
			t.Errorf("together %v, alone %v", at, alone)
		}
	}
	apart, err := Agree([]Series{{90, 20, 12}, {300, 25, 9}}, 0.95)
	if err != nil || apart.AsOne {
		t.Errorf("series that lie far apart answer as one: %+v (%v)", apart, err)
	}
}

// What a series says far from zero it says of its distance from the others: squares about a mean that are worked out as
// a difference of two large ones would lose every digit here. 4² / (2² + 2²) is 2.
func TestQFarFromZero(t *testing.T) {
	got, err := Agree([]Series{{1e12, 2, 0}, {1e12 + 4, 2, 0}}, 0.95)
	if err != nil || got.Q != 2 || got.FixedMean != 1e12+2 {
		t.Errorf("Q %v, mean %v (%v)", got.Q, got.FixedMean, err)
	}
}

// When the answer goes by one truth: nothing between the series and an interval wider than that of one of them, which
// with five series it is not (t of 4 degrees of freedom, 2.776, over √5 is below 1.96; of 2, 4.303, over √3 is above);
// of two series only where their difference over its error has a probability of at least 0.05 (1.81 has 0.070, 2.05
// has 0.040; of three series 0, 3.3 and 0 with errors of 1, 0.027), by scipy 1.10.1. The sign of the estimates is no
// part of it.
func TestWhenSeriesAnswerAsOne(t *testing.T) {
	for _, c := range []struct {
		estimates []float64
		se        float64
		between   bool // a spread between them
		want      bool
	}{
		{[]float64{0, 1.81 * math.Sqrt2}, 1, true, true},
		{[]float64{0, 2.05 * math.Sqrt2}, 1, true, false},
		{[]float64{99, 100, 101}, 2, false, true},
		{[]float64{98, 100, 102, 101, 99}, 2, false, false},
		{[]float64{0, 2.9, 0}, 1, true, false}, // of three, 2.9 has 0.061
		{[]float64{0, 3.3, 0}, 1, true, false},
	} {
		for _, sign := range []float64{1, -1} {
			var series []Series
			for _, e := range c.estimates {
				series = append(series, Series{sign * e, c.se, 0})
			}
			got, err := Agree(series, 0.95)
			if err != nil || got.AsOne != c.want || got.Between > 0 != c.between {
				t.Errorf("%v times %g: as one %t, between %g, p %g (%v)", c.estimates, sign, got.AsOne, got.Between,
					got.QP, err)
			}
		}
	}
}

// Where series differ, the answer goes by their mean and its intervals: by scipy 1.10.1 (brentq for the spread, t).
func TestSeriesThatDifferAnswerByTheirMean(t *testing.T) {
	got, err := Agree([]Series{{10, 2, 0}, {14, 3, 0}, {30, 2.5, 0}, {12, 1, 0}}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	mean, at, ninety, p := got.Answering()
	near(t, "spread", got.Between*got.Between, 78.17121023843539, 1e-9)
	near(t, "mean", mean, 16.402140858982424, 1e-9)
	near(t, "low at 90 %", ninety.Low, 5.6736907664606715, 1e-9)
	near(t, "high at 90 %", ninety.High, 27.130590951504175, 1e-9)
	near(t, "p", p, 0.036816056161081565, 1e-9)
	if at != got.Range {
		t.Errorf("answers by %v, not by %v", at, got.Range)
	}
}
