package main

import (
	"context"
	"math"
	"testing"
)

// A short run of what recovery prints: of 200 series the intervals hold the truth as often as
// 95 in 100 allow (91 to 97 of 100, and three simulation errors about it), the plain average is
// the mean of the smaller strength, and related strengths are missed while the bounds hold.
func TestStrengthsAreFoundAgain(t *testing.T) {
	counts(t)
	const series = 200
	slack := 3 * math.Sqrt(0.05*0.95/series)
	r, err := recoverStrengths(context.Background(), recoverySeed, series, false)
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range r.held {
		share := float64(n) / float64(series-r.refused)
		if share < leastCoverage-slack || share > math.Min(1, mostCoverage+slack) {
			t.Errorf("quantity %d: the truth is held in %.3f of the series", i, share)
		}
	}
	for level := range recoveryLevels {
		if apart := math.Abs(r.mean[level]-r.min[level]) / r.error[level]; !(apart < 3) {
			t.Errorf("level %d: the plain average is %.2f errors off the smaller strength", level, apart)
		}
		if !r.pooled[level] {
			t.Errorf("level %d: the bounds of all joints miss", level)
		}
	}
	related, err := recoverStrengths(context.Background(), recoverySeed, series, true)
	if err != nil {
		t.Fatal(err)
	}
	if share := float64(related.held[1]) / float64(series-related.refused); share > 0.7 {
		t.Errorf("related strengths are missed too seldom: held in %.3f", share)
	}
	for level := range recoveryLevels {
		if !related.pooled[level] {
			t.Errorf("level %d: the bounds of all joints miss under related strengths", level)
		}
		for _, of := range []recovered{r, related} {
			if share := float64(of.allowed[level]) / float64(series-of.refused); share < 0.95-slack {
				t.Errorf("level %d: bounds with their scatter hold in %.3f", level, share)
			}
		}
	}
}

// A normal score of 0 is the median of any strength.
func TestWeibullScores(t *testing.T) {
	if got, want := weibull(0, 400, 8), 400*math.Pow(math.Ln2, 0.125); math.Abs(got-want) > 1e-9 {
		t.Errorf("the median is %g, want %g", got, want)
	}
}
