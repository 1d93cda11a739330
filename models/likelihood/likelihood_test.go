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
		if by == 0 && looks > 15 { // thirteen, where the secant closes in on both ends
			t.Errorf("%d looks", looks)
		}
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

// A quantity with a constant added has its interval moved by as much, whether it ends or not, and so has a form that a
// positive one divides; the constant is no distance from the peak.
func TestShiftMovesTheInterval(t *testing.T) {
	for _, c := range []struct {
		counts counts
		q      Quantity
	}{
		{counts{1, 7}, Quantity{Top: []float64{1, 0}, Reach: 5}},
		{counts{40, 90}, Quantity{Top: []float64{1, 0}, Reach: 10}},
	} {
		p := peak(t, c.counts, 1, 1)
		plain, err := p.Profile(context.Background(), c.q, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		for _, by := range []float64{1000, -1000, 0.5} {
			c.q.Shift = by
			moved, err := p.Profile(context.Background(), c.q, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "value", moved.Value-by, plain.Value, 1e-9)
			near(t, "standard error", moved.SE, plain.SE, 1e-9)
			near(t, "low", moved.Range.Low-by, plain.Range.Low, 1e-7)
			near(t, "high", moved.Range.High-by, plain.Range.High, 1e-7)
		}
	}
	p := peak(t, counts{40, 90}, 3, 4)
	shifted, err := p.Profile(context.Background(),
		Quantity{Top: []float64{1, 0}, Bottom: []float64{0, 1}, Shift: 2, Reach: 10}, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "ratio", shifted.Value, (math.Log(40)+2)/math.Log(90), 1e-9)
	// The ends fall by chi-square's 0.90 point, 2.705543454095404 (published tables, 2.706), at the best pair on
	// the line x + 2 = end·y, found here by ternary search.
	for _, end := range []float64{shifted.Range.Low, shifted.Range.High} {
		fall := func(y float64) float64 {
			x := end*y - 2
			return 2 * (40*(math.Log(40)-1) + 90*(math.Log(90)-1) - (40*x - math.Exp(x)) - (90*y - math.Exp(y)))
		}
		low, high := 3.0, 6.0
		for range 200 {
			if a, b := (2*low+high)/3, (low+2*high)/3; fall(a) < fall(b) {
				high = b
			} else {
				low = a
			}
		}
		near(t, "fall", fall(low), 2.705543454095404, 1e-6)
	}
}

// An interval wider than the reach is followed for 40 standard errors all the same.
func TestReachIsAtLeastFortyStandardErrors(t *testing.T) {
	p := peak(t, rate{5, 20}, 3)
	for _, reach := range []float64{0.12, 100} { // the standard error is 0.11
		got, err := p.Profile(context.Background(), Quantity{Top: []float64{1}, Reach: reach}, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		for _, end := range []float64{got.Range.Low, got.Range.High} {
			near(t, "fall", 2*(p.Value-(5*math.Log(end)-20*end)), chi95, 1e-6)
		}
	}
}

// bowl is a parabola over three parameters that go together; looks counts how often it is worked out.
type bowl struct{ looks *int }

func (bowl) Size() int { return 3 }

func (b bowl) At(_ context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	*b.looks++
	bends, peak, sum := [][]float64{{4, 1, -1}, {1, 3, 1}, {-1, 1, 2}}, []float64{3, -2, 5}, 0.0
	for i, row := range bends {
		for j, c := range row {
			gradient[i] -= c * (theta[j] - peak[j])
			sum -= c * (theta[i] - peak[i]) * (theta[j] - peak[j]) / 2
			curvature.SetSym(i, j, c)
		}
	}
	return sum
}

// Over a parabola the ends lie at 1.96 standard errors, Newton's step and the step onto a plane are exact, and the
// signed root of the fall is a straight line: each end takes a look or two, a chance one. The variance of θ₁ − 2θ₂ is
// by the inverse of the bends, (5 −3 4; −3 7 −5; 4 −5 11) / 13: (5 + 4·7 + 4·3) / 13.
func TestParabolaTakesFewLooks(t *testing.T) {
	looks := 0
	p := peak(t, bowl{&looks}, 0, 0, 0)
	q := Quantity{Top: []float64{1, -2, 0}, Reach: 100}
	looks = 0
	got, err := p.Profile(context.Background(), q, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	se := math.Sqrt(45.0 / 13)
	near(t, "value", got.Value, 7, 1e-12)
	near(t, "standard error", got.SE, se, 1e-12)
	near(t, "low", got.Range.Low, 7-math.Sqrt(chi95)*se, 1e-7)
	near(t, "high", got.Range.High, 7+math.Sqrt(chi95)*se, 1e-7)
	if looks > 4 {
		t.Errorf("%d looks", looks)
	}
	looks = 0
	chance, err := p.Chance(context.Background(), q, 7+math.Sqrt(chi95)*se)
	near(t, "chance", chance, 0.05, 1e-9)
	if err != nil || looks > 1 {
		t.Errorf("%d looks (%v)", looks, err)
	}
}

// A plane is solved for the coordinate that carries it for the smallest fall; one that has to stay positive only where
// there is no other. Settled, a point lies in the plane.
func TestPlane(t *testing.T) {
	curvature := mat.NewSymDense(3, []float64{4, 0, 0, 0, 1, 0, 0, 0, 100})
	for _, c := range []struct {
		along, bottom []float64
		pivot         int
	}{
		{[]float64{1, 1, 1}, nil, 1}, {[]float64{4, 1, 1}, nil, 0}, {[]float64{0, 0, 1}, nil, 2},
		{[]float64{1, 1, 1}, []float64{0, 1, 0}, 0}, {[]float64{0, 1, 1}, []float64{0, 1, 0}, 2},
		{[]float64{0, 1, 0}, []float64{0, 1, 0}, 1}, {[]float64{1, 1, 0}, []float64{1, 1, 0}, 1},
	} {
		p := plane{along: c.along, shift: 1.5}
		if p.turn(curvature, c.bottom); p.pivot != c.pivot {
			t.Errorf("%+v is solved for %d, want %d", c, p.pivot, c.pivot)
		}
		theta := []float64{3, -7, 0.25}
		p.settle(theta)
		sum := p.shift
		for i, a := range p.along {
			sum += a * theta[i]
		}
		near(t, "above the plane", sum, 0, 1e-15)
	}
}

// secant is the log likelihood of one value of the hyperbolic secant distribution, in where its middle lies.
type secant float64

func (s secant) Size() int { return 1 }

func (s secant) At(_ context.Context, theta, gradient []float64, curvature *mat.SymDense) float64 {
	off := theta[0] - float64(s)
	gradient[0] = -math.Tanh(off)
	curvature.SetSym(0, 0, 1/(math.Cosh(off)*math.Cosh(off)))
	return -math.Log(math.Cosh(off))
}

// Further than 1.0886 from the peak of ln sech, where sinh 2x = 4x, a whole step of Newton's ends further out on the
// other side than it began (worked by hand): steps are halved until the likelihood rises.
func TestStepsThatWouldOvershootAreHalved(t *testing.T) {
	for _, off := range []float64{-8, -1.2, -1, 0.5, 1.1, 2, 5, 12} {
		p := peak(t, secant(3), 3+off)
		near(t, "the peak", p.Theta[0], 3, 1e-8)
		near(t, "its height", p.Value, 0, 1e-15)
	}
}
