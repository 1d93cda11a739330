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
