package compare

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// groups reads a two-column file of levels and values from testdata/published/handbook.
func groups(t testing.TB, file string) [][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/published/handbook/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out [][]float64
	last := ""
	for _, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		if row[0] != last {
			out, last = append(out, nil), row[0]
		}
		out[len(out)-1] = append(out[len(out)-1], v)
	}
	return out
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.15g, want %.15g", what, got, want)
	}
}

// NIST/SEMATECH e-Handbook 7.4.7.1, four groups of five: the limits as printed, and as
// recomputed with scipy 1.10.1 to four places.
func TestTukeyFourGroups(t *testing.T) {
	m, err := Groups(t.Context(), groups(t, "tukey_four_groups.csv"))
	if err != nil {
		t.Fatal(err)
	}
	r, err := AllPairs(context.Background(), m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "critical", r.Critical*math.Sqrt2, 4.046093060626, 5e-12)
	want := []struct {
		first, second           int
		printedLow, printedHigh float64 // of second − first, or turned round where printed so
		low, high, p            float64
	}{
		{0, 1, 0.29, 4.47, 0.2926, 4.4674, 0.022793},
		{0, 2, 1.13, 5.31, 1.1326, 5.3074, 0.002211},
		{0, 3, -1.93, 2.25, -1.9274, 2.2474, 0.996121},
		{1, 2, -1.25, 2.93, -1.2474, 2.9274, 0.664465},
		{1, 3, -4.31, -0.13, -4.3074, -0.1326, 0.035154},
		{2, 3, -5.15, -0.97, -5.1474, -0.9726, 0.003451},
	}
	for i, w := range want {
		d := r.Differences[i]
		if d.First != w.first || d.Second != w.second {
			t.Fatalf("row %d is %d, %d", i, d.First, d.Second)
		}
		near(t, "printed low", d.Low, w.printedLow, 0.005)
		near(t, "printed high", d.High, w.printedHigh, 0.005)
		near(t, "low", d.Low, w.low, 6e-5)
		near(t, "high", d.High, w.high, 6e-5)
		near(t, "p", d.P, w.p, 6e-7)
	}
	o, err := OneWay(t.Context(), groups(t, "tukey_four_groups.csv"))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F", o.F, 9.723839939884, 1e-12)
	near(t, "p", o.P, 0.000684453865, 1e-12)
}

// NIST/SEMATECH e-Handbook 1.3.5.4, gear diameters: batch means and their standard error
// as printed; F and p as recomputed with scipy 1.10.1.
func TestGear(t *testing.T) {
	values := groups(t, "gear.csv")
	m, err := Groups(t.Context(), values)
	if err != nil {
		t.Fatal(err)
	}
	means := []float64{0.99800, 0.99910, 0.99540, 0.99820, 0.99190, 0.99880, 1.00150, 1.00040, 0.99830, 0.99480}
	for i, want := range means {
		near(t, "mean", m.Mean[i], want, 5e-6)
		near(t, "standard error", math.Sqrt(m.Cov[i][i]), 0.0018779421, 5e-11)
	}
	near(t, "df", m.DF, 90, 0)
	o, err := OneWay(t.Context(), values)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "F", o.F, 2.296912413359, 1e-11)
	near(t, "p", o.P, 0.0226608193, 5e-11)
}
