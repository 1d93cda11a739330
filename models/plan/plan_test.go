package plan

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"breakbook/models/compare"
	"breakbook/models/dist"
)

// reference is testdata/reference/plan.json, made by plan.py beside it; it names the
// versions of scipy and numpy.
type reference struct {
	Means []struct {
		Levels           []int
		N                int
		D, Overall, Pair float64
	}
	Blocked []struct {
		Levels          []int
		Whole           []bool
		N, Blocks, Each int
		SD, D           float64
		Overall, Pair   float64
	}
	Shares []struct {
		Levels, N        int
		From, To, Chance float64
	}
	Limits []struct {
		N                  int
		CV, Within, Chance float64
	}
}

func readReference(t *testing.T) (r reference) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/plan.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Means) != 7 || len(r.Blocked) != 7 || len(r.Shares) != 3 || len(r.Limits) != 4 {
		t.Fatalf("%d, %d, %d and %d cases", len(r.Means), len(r.Blocked), len(r.Shares), len(r.Limits))
	}
	return r
}

func TestChancesAgainstFiguresDoneElsewhere(t *testing.T) {
	r := readReference(t)
	nan := math.NaN()
	worst := 0.0
	off := func(what any, got, want float64) {
		t.Helper()
		worst = math.Max(worst, math.Abs(got-want))
		if !(math.Abs(got-want) < 1e-8) {
			t.Errorf("%+v: %.12g, want %.12g", what, got, want)
		}
	}
	for _, c := range r.Means {
		s, err := Means{Levels: c.Levels, Delta: c.D, SD: 1, HighSD: nan, Confidence: 0.95, Wanted: 0.8}.At(c.N)
		if err != nil {
			t.Fatal(err)
		}
		off(c, s.Overall, c.Overall)
		off(c, s.Pair, c.Pair)
		off(c, s.Chance, math.Min(c.Overall, c.Pair))
	}
	for _, c := range r.Blocked {
		s, err := Means{Levels: c.Levels, Delta: c.D, SD: 1, HighSD: nan, Confidence: 0.95, Wanted: 0.8,
			Blocks: &Blocks{SD: c.SD, Each: c.Each, Whole: c.Whole}}.At(c.N)
		if err != nil {
			t.Fatal(err)
		}
		off(c, s.Overall, c.Overall)
		off(c, s.Pair, c.Pair)
		if s.Blocks != c.Blocks {
			t.Errorf("%+v: %d blocks", c, s.Blocks)
		}
	}
	for _, c := range r.Shares {
		s, err := Shares{Levels: c.Levels, From: c.From, To: c.To, Confidence: 0.95, Wanted: 0.8}.At(c.N)
		if err != nil {
			t.Fatal(err)
		}
		off(c, s.Chance, c.Chance)
	}
	for _, c := range r.Limits {
		s, err := Limit{Levels: 1, Mean: 500, SD: 500 * c.CV, HighSD: nan, Within: c.Within, Exceeded: 0.95,
			Confidence: 0.75, Wanted: 0.8}.At(c.N)
		if err != nil {
			t.Fatal(err)
		}
		off(c, s.Chance, c.Chance)
	}
	t.Logf("21 cases, largest difference %.2g", worst)
}

// The smallest numbers of the one-sample t test for a shift of so many sds, worked out
// exactly beside NIST/SEMATECH e-Handbook 7.2.2.2 (which gives 13 for the first, from memory).
// The third's chance is integrated with mpmath 1.2.1; scipy 1.10.1 has 0.900030594 for it.
func TestHandbookSampleSizes(t *testing.T) {
	for _, c := range []struct {
		tail, chance, shift float64
		oneSided            bool
		n                   int
		power               float64
	}{
		{0.05, 0.95, 1, true, 13, 0.959703162}, {0.05, 0.90, 0.5, true, 36, 0.902574551},
		{0.025, 0.90, 0.5, false, 44, 0.9000305933}, {0.025, 0.80, 1, false, 10, 0.803096857},
	} {
		power := func(n int) float64 {
			df, mu := float64(n-1), c.shift*math.Sqrt(float64(n))
			if c.oneSided {
				return dist.NoncentralTTail(dist.TQuantile(1-c.tail, df), df, mu)
			}
			return dist.PassingChance(dist.TQuantile(1-c.tail, df), df, mu)
		}
		n, ok := leastWhole(func(n int) bool { return power(n) >= c.chance })
		if !ok || n != c.n || !(math.Abs(power(n)-c.power) <= 5e-10) {
			t.Errorf("%+v: %d with %.10g", c, n, power(n))
		}
	}
}

// The least size has the wanted chance and one specimen a level fewer has not; what it can
// detect has just that chance; a higher spread makes it smaller.
func TestLeastIsLeast(t *testing.T) {
	for _, m := range []Means{
		{Levels: []int{2}, Delta: 40, SD: 50, HighSD: 60, Confidence: 0.95, Wanted: 0.8},
		{Levels: []int{4}, Delta: 40, SD: 45, HighSD: 60, Confidence: 0.9, Wanted: 0.9},
		{Levels: []int{3, 2}, Delta: 1, SD: 2, HighSD: 2.2, Confidence: 0.95, Wanted: 0.8},
	} {
		s, err := m.Least()
		if err != nil {
			t.Fatal(err)
		}
		less, err := m.At(s.PerLevel - 1)
		if err != nil {
			t.Fatal(err)
		}
		if s.Chance < m.Wanted || less.Chance >= m.Wanted || s.ChanceHighSpread >= s.Chance ||
			s.N != s.PerLevel*m.cells() || s.Detectable > m.Delta {
			t.Errorf("%+v: %+v, one fewer %+v", m, s, less)
		}
		m.Delta = s.Detectable
		if at, _ := m.At(s.PerLevel); !(math.Abs(at.Chance-m.Wanted) <= 1e-9) {
			t.Errorf("what it can detect has a chance of %g", at.Chance)
		}
	}
	s, err := Shares{Levels: 2, From: 0.7, To: 0.2, Confidence: 0.95, Wanted: 0.8}.Least()
	if err != nil || s.Chance < 0.8 || !(s.Detectable <= 0.5) {
		t.Errorf("%+v %v", s, err)
	}
	l := Limit{Levels: 2, Mean: 500, SD: 60, HighSD: 70, Within: 0.1, Exceeded: 0.95, Confidence: 0.75, Wanted: 0.8}
	if s, err = l.Least(); err != nil || s.Chance < 0.8 || s.N != 2*s.PerLevel {
		t.Errorf("%+v %v", s, err)
	}
	if less, _ := l.At(s.PerLevel - 1); less.Chance >= 0.8 {
		t.Errorf("one fewer has %g", less.Chance)
	}
}

// The chance promised is the chance found: 3,000 seeded series of three levels of eight, two
// levels 1.2 sds apart and the third midway, judged by compare itself.
func TestChanceIsFoundBySimulation(t *testing.T) {
	m := Means{Levels: []int{3}, Delta: 1.2, SD: 1, HighSD: math.NaN(), Confidence: 0.95, Wanted: 0.8}
	want, err := m.At(8)
	if err != nil {
		t.Fatal(err)
	}
	critical := dist.NewStudentisedRange(3, 21).Point(0.05) / math.Sqrt2
	draw := rand.New(rand.NewPCG(8, 12))
	const series = 3000
	overall, pair := 0.0, 0.0
	values := [][]float64{make([]float64, 8), make([]float64, 8), make([]float64, 8)}
	for range series {
		for i, shift := range []float64{0, 0.6, 1.2} {
			for j := range values[i] {
				values[i][j] = shift + draw.NormFloat64()
			}
		}
		g, err := compare.Groups(t.Context(), values)
		if err != nil {
			t.Fatal(err)
		}
		o, err := compare.OneWay(t.Context(), values)
		if err != nil {
			t.Fatal(err)
		}
		if o.P <= 0.05 {
			overall++
		}
		if !(math.Abs(g.Mean[2]-g.Mean[0]) <= critical*math.Sqrt(g.Cov[0][0]+g.Cov[2][2])) {
			pair++
		}
	}
	for _, c := range []struct {
		what        string
		found, said float64
	}{{"overall", overall / series, want.Overall}, {"pair", pair / series, want.Pair}} {
		t.Logf("%s: promised %.4f, found %.4f", c.what, c.said, c.found)
		if !(math.Abs(c.found-c.said) <= 3*math.Sqrt(c.said*(1-c.said)/series)) {
			t.Errorf("%s: promised %.4f, found %.4f", c.what, c.said, c.found)
		}
	}
}

// Within one level of the other factor, two by two, as many show a difference of 1.5 sd as are promised:
// the least, and the chance found in 3,000 seeded series judged by compare's own pair within families.
func TestWithinIsFoundBySimulation(t *testing.T) {
	m := Means{Levels: []int{2, 2}, Delta: 1.5, SD: 1, Confidence: 0.95, Wanted: 0.8}
	s, err := m.Within()
	if err != nil || s.N != 4*s.PerLevel || s.Chance < 0.8 || m.chanceWithin(s.PerLevel-1) >= 0.8 {
		t.Fatalf("%+v %v", s, err)
	}
	draw := rand.New(rand.NewPCG(4, 9))
	const series = 3000
	shown := 0.0
	for range series {
		values := make([][]float64, 4)
		for i := range values {
			for range s.PerLevel {
				values[i] = append(values[i], []float64{0, 1.5, 0, 0}[i]+draw.NormFloat64())
			}
		}
		g, err := compare.Groups(t.Context(), values)
		if err != nil {
			t.Fatal(err)
		}
		r, err := compare.AllPairs(t.Context(), g.Of([]int{0, 1}), compare.Options{Confidence: 0.95, Families: 2})
		if err != nil {
			t.Fatal(err)
		}
		if r.Differences[0].Low > 0 {
			shown++
		}
	}
	if shown /= series; !(math.Abs(shown-s.Chance) <= 3*math.Sqrt(s.Chance*(1-s.Chance)/series)) {
		t.Errorf("promised %.4f, found %.4f", s.Chance, shown)
	}
	both := Means{Levels: []int{2, 2}, Delta: 1.5, SD: 1, Confidence: 0.95, Wanted: 0.8,
		Blocks: &Blocks{SD: 1, Each: 2, Whole: []bool{true, false}}}
	if in, err := both.Within(); err != nil || in.PerLevel <= s.PerLevel || in.Blocks != in.PerLevel {
		t.Errorf("made of whole blocks it takes no more: %+v %v", in, err)
	}
	if _, err := (Means{Levels: []int{2}, Delta: 1, SD: 1, Confidence: 0.95, Wanted: 0.8}).Within(); err == nil {
		t.Error("one factor is within nothing")
	}
}

// 80 % upper limit of an sd of 1 with 10 degrees of freedom: √(10/6.179079), the 20 % point
// of chi-square (scipy 1.10.1, chi2.ppf(0.2, 10) = 6.179079255700985).
func TestHighSpread(t *testing.T) {
	if got, want := HighSpread(1, 10, 0.8), math.Sqrt(10/6.179079255700985); !(math.Abs(got-want) <= 1e-9) {
		t.Errorf("%g, want %g", got, want)
	}
}

func TestRefused(t *testing.T) {
	ok := Means{Levels: []int{2}, Delta: 1, SD: 1, Confidence: 0.95, Wanted: 0.8}
	for code, change := range map[string]func(*Means){
		"too-few-levels": func(m *Means) { m.Levels = []int{1} },
		"no-difference":  func(m *Means) { m.Delta = 0 },
		"no-spread":      func(m *Means) { m.SD = 0 },
		"share":          func(m *Means) { m.Wanted = 1 },
		"out-of-reach":   func(m *Means) { m.Delta = 1e-3 },
	} {
		m := ok
		change(&m)
		var e *Error
		if _, err := m.Least(); !errors.As(err, &e) || e.Code != code {
			t.Errorf("%v, want %s", err, code)
		}
	}
	var e *Error
	if _, err := (Shares{Levels: 2, From: 0.5, To: 0.5, Confidence: 0.95, Wanted: 0.8}).Least(); !errors.As(err, &e) ||
		e.Code != "no-difference" {
		t.Error(err)
	}
	if _, err := (Shares{Levels: 2, From: 0.5, To: 0.501, Confidence: 0.95, Wanted: 0.8}).At(1); err != nil {
		t.Error(err)
	}
}

// Up to the bound every chance is a number; past it the plan says so.
func TestSharesKnowHowFarTheyLook(t *testing.T) {
	s := Shares{Levels: 2, From: 0.7, To: 0.6, Confidence: 0.95, Wanted: 0.8}
	got, err := s.At(2 * mostShares)
	if err != nil || !(got.Chance > 0.9 && got.Chance <= 1) {
		t.Errorf("at the bound: %+v, %v", got, err)
	}
	var e *Error
	if _, err := s.At(2*mostShares + 1); !errors.As(err, &e) || e.Code != "too-many-specimens" {
		t.Errorf("past the bound: %v", err)
	}
}
