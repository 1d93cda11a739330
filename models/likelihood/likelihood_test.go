package likelihood

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// counts is the log likelihood of Poisson counts whose ln means are the parameters, each the
// only one of its count: n·θ − e^θ.
type counts []float64

func (c counts) Size() int { return len(c) }

func (c counts) At(_ context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	sum := 0.0
	for i, n := range c {
		e := math.Exp(theta[i])
		sum += n*theta[i] - e
		gradient[i] = n - e
		curvature.SetSym(i, i, e)
	}
	return sum
}

// rate is the log likelihood of n waits that add up to total, in the rate itself: it does not
// exist below zero.
type rate struct{ n, total float64 }

func (r rate) Size() int { return 1 }

func (r rate) At(_ context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	if theta[0] <= 0 {
		return math.Inf(-1)
	}
	gradient[0] = r.n/theta[0] - r.total
	curvature.SetSym(0, 0, r.n/(theta[0]*theta[0]))
	return r.n*math.Log(theta[0]) - r.total*theta[0]
}

const chi95 = 3.841458820694124 // chi-square on 1 degree of freedom, 0.95: published tables, 3.841

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

func peak(t *testing.T, f Function, start ...float64) *Peak {
	t.Helper()
	p, err := Maximise(context.Background(), f, start)
	if err != nil || !p.Converged {
		t.Fatalf("%v, %+v", err, p)
	}
	return p
}

// raised is a log likelihood with a constant added, as a change of units adds one; looks
// counts how often it is worked out.
type raised struct {
	rate
	by    float64
	looks *int
}

func (r raised) At(ctx context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	*r.looks++
	return r.rate.At(ctx, theta, gradient, curvature) + r.by
}

// A likelihood is only known up to a constant factor (Fisher 1922, section 6): a large one leaves
// the ends where they are, but for its rounding, and is no reason to look for digits that it
// has rounded away.
func TestConstantChangesNothing(t *testing.T) {
	var low, high float64
	var most int
	for _, by := range []float64{0, -1e3, -1e5, -1e6, 1e6, -1e7, -1e8, 1e8} {
		looks := 0
		p := peak(t, raised{rate{5, 20}, by, &looks}, 3)
		looks = 0
		got, err := p.Profile(context.Background(), Quantity{Top: []float64{1}, Reach: 100}, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if by == 0 {
			low, high, most = got.Range.Low, got.Range.High, looks
		}
		near(t, "low end", got.Range.Low, low, 1e-9)
		near(t, "high end", got.Range.High, high, 1e-9)
		if looks > most {
			t.Errorf("%d looks with %g added, %d without", looks, by, most)
		}
	}
}

// The ends solve the equation of the likelihood ratio, here in closed form, and the chance of
// an end is what lies outside the interval.
func TestProfileSolvesTheLikelihoodRatio(t *testing.T) {
	ctx := context.Background()
	p := peak(t, rate{5, 20}, 3)
	near(t, "peak", p.Theta[0], 0.25, 1e-12)
	q := Quantity{Top: []float64{1}, Reach: 100}
	got, err := p.Profile(ctx, q, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "standard error", got.SE, 0.25/math.Sqrt(5), 1e-12)
	for _, end := range []float64{got.Range.Low, got.Range.High} {
		near(t, "fall", 2*(p.Value-(5*math.Log(end)-20*end)), chi95, 1e-6)
		chance, err := p.Chance(ctx, q, end)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "chance", chance, 0.05, 1e-7)
	}
}

// The ratio of two means with its profile: given the sum, the first count is binomial, and the
// likelihood ratio of a ratio of 1 is 2 Σ n ln(n ÷ mean).
func TestNuisanceParametersAreProfiledOut(t *testing.T) {
	p := peak(t, counts{30, 12}, 0, 0)
	q := Quantity{Top: []float64{1, -1}, Reach: 100}
	chance, err := p.Chance(context.Background(), q, 0)
	if err != nil {
		t.Fatal(err)
	}
	ratio := 2 * (30*math.Log(30/21.0) + 12*math.Log(12/21.0))
	near(t, "chance", chance, math.Erfc(math.Sqrt(ratio/2)), 1e-9)
	got, err := p.Profile(context.Background(), q, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for _, end := range []float64{got.Range.Low, got.Range.High} {
		share := 1 / (1 + math.Exp(-end))
		near(t, "fall", 2*(30*math.Log(30/42.0/share)+12*math.Log(12/42.0/(1-share))), chi95, 1e-6)
	}
}

// A quantity that is a ratio of forms: θ₁ ÷ θ₂ of two rates has the interval of the same ratio
// taken from the other side.
func TestRatioOfForms(t *testing.T) {
	p := peak(t, counts{40, 90}, 3, 4)
	ctx := context.Background()
	up, err := p.Profile(ctx, Quantity{Top: []float64{1, 0}, Bottom: []float64{0, 1}, Reach: 10}, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	down, err := p.Profile(ctx, Quantity{Top: []float64{0, 1}, Bottom: []float64{1, 0}, Reach: 10}, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "value", up.Value, 1/down.Value, 1e-9)
	near(t, "low", up.Range.Low, 1/down.Range.High, 1e-7)
	near(t, "high", up.Range.High, 1/down.Range.Low, 1e-7)
}

// No event at all: the mean may be as small as one likes, and at most what makes none as
// unlikely as the fall allows, half of chi-square.
func TestEndlessSide(t *testing.T) {
	p := peak(t, counts{0, 7}, 0, 0)
	got, err := p.Profile(context.Background(), Quantity{Top: []float64{1, 0}, Reach: 100}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if !math.IsInf(got.Range.Low, -1) || !math.IsInf(got.Value, -1) || !math.IsNaN(got.SE) {
		t.Errorf("%+v should have no lower limit", got)
	}
	near(t, "high", got.Range.High, math.Log(chi95/2), 1e-6)
	other, err := p.Profile(context.Background(), Quantity{Top: []float64{0, 1}, Reach: 100}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the other's value", other.Value, math.Log(7), 1e-9)
	for _, end := range []float64{other.Range.Low, other.Range.High} {
		near(t, "the other's fall", 2*(7*math.Log(7)-7-7*end+math.Exp(end)), chi95, 1e-6)
	}
}

func TestNoStartAndNoTime(t *testing.T) {
	if _, err := Maximise(context.Background(), rate{5, 20}, []float64{-1}); !errors.Is(err, ErrNoStart) {
		t.Errorf("a start outside: %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Maximise(ctx, rate{5, 20}, []float64{1}); !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped climb: %v", err)
	}
}

// walled is a parabola that ends at a wall within its interval.
type walled struct{}

func (walled) Size() int { return 1 }

func (walled) At(_ context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	if theta[0] > 1 {
		return math.Inf(-1)
	}
	gradient[0] = -theta[0]
	curvature.SetSym(0, 0, 1)
	return -theta[0] * theta[0] / 2
}

// An interval that ends where the likelihood is not to be had is not found, and what is known of
// the quantity stands.
func TestRangeThatCannotBeFound(t *testing.T) {
	p := peak(t, walled{}, 0.5)
	q := Quantity{Top: []float64{1}, Reach: 100}
	got, err := p.Profile(context.Background(), q, 0.95)
	if !errors.Is(err, ErrNoRange) {
		t.Fatalf("%+v, %v", got, err)
	}
	near(t, "value", got.Value, 0, 1e-9)
	near(t, "standard error", got.SE, 1, 1e-9)
	if !math.IsNaN(got.Range.Low) || !math.IsNaN(got.Range.High) {
		t.Errorf("the range is %v", got.Range)
	}
	if _, err := p.Chance(context.Background(), q, 1.5); !errors.Is(err, ErrNoRange) {
		t.Errorf("a chance beyond the wall: %v", err)
	}
	inside, err := p.Chance(context.Background(), q, -1.959963984540054) // of 0.05: published tables
	if err != nil {
		t.Fatal(err)
	}
	near(t, "chance", inside, 0.05, 1e-9)
}
