package dist

import (
	"context"
	"fmt"
	"math"
	"testing"
)

// Every row of dist_mpmath.csv: values by mpmath 1.2.1 and by Gauss–Legendre rules in
// numpy 1.24.2, made by dist_mpmath.py beside it.
func TestQuadratureValues(t *testing.T) {
	if testing.Short() {
		t.Skip("digits of many values, compared without -short")
	}
	ctx := context.Background()
	within := map[string]float64{
		"normal tail":              1e-12,
		"t two_sided":              1e-11,
		"t upper_point":            1e-12,
		"f tail":                   1e-11,
		"chi_square tail":          1e-12,
		"studentised_range tail":   1e-10,
		"studentised_range point":  1e-10,
		"many_to_one tail":         1e-10,
		"many_to_one_factors tail": 1e-8,
		"noncentral_t tail":        1e-11,
		"inside chance":            1e-10,
	}
	worst, count := map[string]float64{}, 0
	for _, r := range published(t, "dist_mpmath.csv") {
		p, x := r.parameters, r.argument
		kind := r.distribution + " " + r.quantity
		var got float64
		want := r.value
		switch kind {
		case "normal tail":
			got = NormalTail(x)
		case "t two_sided":
			got = TwoSidedT(x, p["df"])
		case "t upper_point":
			got = -TQuantile(x, p["df"])
		case "f tail":
			got = FTail(x, p["d1"], p["d2"])
		case "chi_square tail":
			got = ChiSquareTail(x, p["df"])
		case "studentised_range tail":
			got = NewStudentisedRange(int(p["k"]), p["df"]).Tail(x)
		case "studentised_range point":
			got = NewStudentisedRange(int(p["k"]), p["df"]).Point(x)
		case "many_to_one tail":
			d := NewManyToOne(fromLoads(uneven(p)), p["df"])
			if !d.Exact() {
				t.Errorf("%s: not exact", r.name)
			}
			got, _ = d.Tail(ctx, x)
		case "many_to_one_factors tail":
			var e float64
			d := NewManyToOne(fromFactors(p), p["df"])
			got, e = d.Tail(ctx, x)
			if !d.Exact() { // a lattice: held to the error it tells
				if e > latticeAim || !(math.Abs(got-want) <= e) {
					t.Errorf("%s: got %.10g within %.2g, want %.10g", r.name, got, e, want)
				}
				count++
				continue
			}
		case "many_to_one_chain tail":
			d := NewManyToOne(chain(int(p["m"]), p["shared"], p["step"]), p["df"])
			got, e := d.Tail(ctx, x)
			if d.Exact() || !(math.Abs(got-want) <= e) || e > latticeAim {
				t.Errorf("%s: got %.10g within %.2g, want %.10g", r.name, got, e, want)
			}
			t.Logf("%s: off by %.2g, told %.2g", r.name, math.Abs(got-want), e)
			count++
			continue
		case "noncentral_t tail":
			got = NoncentralTTail(x, p["df"], p["ncp"])
		case "inside chance":
			got = InsideChance(x, p["critical"], p["df"])
		default:
			t.Fatalf("%s: nothing to hold it against", r.name)
		}
		count++
		rel := relative(got, want)
		worst[kind] = math.Max(worst[kind], rel)
		if !(rel <= within[kind]) {
			t.Errorf("%s: got %.17g, want %.17g (%.2g)", r.name, got, want, rel)
		}
	}
	if count != 90 {
		t.Errorf("%d rows, want 90", count)
	}
	for kind, rel := range worst {
		t.Logf("%s: largest relative error %.2g", kind, rel)
	}
}

// uneven are the loads of levels of n1, n2, … specimens against one of n0: the
// correlation of two differences is the root of n_i n_j / ((n_i + n0)(n_j + n0)).
func uneven(p map[string]float64) []float64 {
	var loads []float64
	for i := 1; p[fmt.Sprint("n", i)] > 0; i++ {
		n := p[fmt.Sprint("n", i)]
		loads = append(loads, math.Sqrt(n/(n+p["n0"])))
	}
	return loads
}

// chain is the correlation of values that share one factor and are else a chain, in which
// neighbours are step apart correlated: no few factors make it.
func chain(m int, shared, step float64) [][]float64 {
	r := make([][]float64, m)
	for i := range r {
		r[i] = make([]float64, m)
		for j := range r[i] {
			r[i][j] = shared + (1-shared)*math.Pow(step, math.Abs(float64(i-j)))
		}
	}
	return r
}

// fromLoads is the correlation matrix of a product form.
func fromLoads(loads []float64) [][]float64 {
	p := map[string]float64{}
	for i, l := range loads {
		p[fmt.Sprintf("l%d0", i)] = l
	}
	return fromFactors(p)
}

// fromFactors is the correlation matrix of values with loads l<value><factor>.
func fromFactors(p map[string]float64) [][]float64 {
	var loads [][]float64
	for i := 0; ; i++ {
		if _, ok := p[fmt.Sprintf("l%d0", i)]; !ok {
			break
		}
		loads = append(loads, nil)
		for k := 0; ; k++ {
			l, ok := p[fmt.Sprintf("l%d%d", i, k)]
			if !ok {
				break
			}
			loads[i] = append(loads[i], l)
		}
	}
	r := make([][]float64, len(loads))
	for i := range r {
		r[i] = make([]float64, len(loads))
		for j := range r[i] {
			for k := range loads[i] {
				r[i][j] += loads[i][k] * loads[j][k]
			}
		}
		r[i][i] = 1
	}
	return r
}

// The noncentral t rows: mpmath with 30 digits, scipy 1.10.1 agreeing.
func TestNoncentralTPublished(t *testing.T) {
	count, worst := 0, 0.0
	for _, r := range published(t, "distributions.csv") {
		if r.distribution != "noncentral_t" {
			continue
		}
		count++
		got := 1 - NoncentralTTail(r.argument, r.parameters["df"], r.parameters["ncp"])
		worst = math.Max(worst, relative(got, r.value))
		if !(relative(got, r.value) <= 1e-13) {
			t.Errorf("%s: got %.16g, want %.16g", r.name, got, r.value)
		}
	}
	if count != 24 {
		t.Errorf("%d rows, want 24", count)
	}
	t.Logf("largest relative error %.2g", worst)
}

// The two-sided many-to-one rows: equal numbers, so correlation one half; eight digits.
func TestManyToOnePublished(t *testing.T) {
	ctx := context.Background()
	count, worst := 0, 0.0
	for _, r := range published(t, "distributions.csv") {
		if r.distribution != "dunnett_two_sided" {
			continue
		}
		count++
		loads := make([]float64, int(r.parameters["treatments"]))
		for i := range loads {
			loads[i] = math.Sqrt(0.5)
		}
		got := NewManyToOne(fromLoads(loads), r.parameters["df"]).Point(ctx, r.parameters["alpha"])
		worst = math.Max(worst, math.Abs(got-r.value))
		if !(math.Abs(got-r.value) <= 5.1e-9) { // half a unit of the last place given
			t.Errorf("%s: got %.12g, want %.12g", r.name, got, r.value)
		}
	}
	if count != 20 {
		t.Errorf("%d rows, want 20", count)
	}
	t.Logf("largest error %.2g", worst)
}
