package dist

import (
	"math"
	"testing"
)

// Both files are of values computed elsewhere: 8 digits of the shared table, 10 of the
// quadrature.
func TestNoncentralFPublished(t *testing.T) {
	for _, file := range []struct {
		name   string
		rows   int
		within float64
	}{{"distributions.csv", 24, 1e-12}, {"noncentralf_mpmath.csv", 90, 1e-11}} {
		count, worst := 0, 0.0
		for _, r := range published(t, file.name) {
			if r.distribution != "noncentral_F" {
				continue
			}
			count++
			d1, d2, ncp := r.parameters["df1"], r.parameters["df2"], r.parameters["ncp"]
			below, above := NoncentralF(r.argument, d1, d2, ncp), NoncentralFTail(r.argument, d1, d2, ncp)
			got := below
			if r.quantity == "tail" {
				got = above
			}
			worst = math.Max(worst, relative(got, r.value))
			if !(relative(got, r.value) <= file.within) {
				t.Errorf("%s: got %.16g, want %.16g", r.name, got, r.value)
			}
			if !(math.Abs(below+above-1) <= 1e-13) {
				t.Errorf("%s: both sides come to %.16g", r.name, below+above)
			}
		}
		if count != file.rows {
			t.Errorf("%s: %d rows, want %d", file.name, count, file.rows)
		}
		t.Logf("%s: largest relative error %.2g of %d", file.name, worst, count)
	}
}

// With no noncentrality it is the F distribution, with infinite d2 a mixture of chi-squares
// (noncentral chi-square: scipy 1.10.1, ncx2.sf(8, 4, 3)).
func TestNoncentralFEdges(t *testing.T) {
	if got, want := NoncentralFTail(2.5, 3, 20, 0), FTail(2.5, 3, 20); got != want {
		t.Errorf("central: %g, want %g", got, want)
	}
	const noncentralChi = 0.34163065653073704
	if got := NoncentralFTail(2, 4, math.Inf(1), 3); !(relative(got, noncentralChi) <= 1e-12) {
		t.Errorf("infinite df: %.16g, want %.16g", got, noncentralChi)
	}
	for _, bad := range [][4]float64{{1, -1, 2, 3}, {1, 2, 0, 3}, {1, 2, 3, -1}, {math.NaN(), 2, 3, 1},
		{1, 2, 3, math.Inf(1)}} {
		if got := NoncentralFTail(bad[0], bad[1], bad[2], bad[3]); !math.IsNaN(got) {
			t.Errorf("%v: %g", bad, got)
		}
	}
	if NoncentralFTail(0, 2, 3, 1) != 1 || NoncentralF(0, 2, 3, 1) != 0 || NoncentralFTail(math.Inf(1), 2, 3, 1) != 0 {
		t.Error("at the ends")
	}
}
