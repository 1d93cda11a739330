package dist

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// record is one row of a file of published or independently computed values.
type record struct {
	distribution, quantity string
	parameters             map[string]float64
	argument, value        float64
	digits                 float64
	name                   string
}

// published reads such a file from testdata/published.
func published(t *testing.T, file string) []record {
	t.Helper()
	f, err := os.Open("../../testdata/published/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		if s == "" {
			return math.NaN()
		}
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	var out []record
	for _, row := range rows[1:] {
		r := record{distribution: row[0], quantity: row[1], value: math.NaN(), parameters: map[string]float64{},
			name: strings.Join(row[:4], " ")}
		if r.distribution == "shapiro_wilk" {
			continue // its parameters are words
		}
		for _, pair := range strings.Split(row[2], ";") {
			key, value, _ := strings.Cut(pair, "=")
			r.parameters[key] = number(value)
		}
		r.argument, r.value, r.digits = number(row[3]), number(row[4]), number(row[5])
		out = append(out, r)
	}
	return out
}

// relative is the error of got as a share of want.
func relative(got, want float64) float64 {
	if got == want {
		return 0
	}
	return math.Abs(got-want) / math.Abs(want)
}

func TestStudentisedRangePublished(t *testing.T) {
	count, worst := 0, map[string]float64{}
	for _, r := range published(t, "distributions.csv") {
		if r.distribution != "studentized_range" {
			continue
		}
		count++
		k, df := int(r.parameters["k"]), r.parameters["df"]
		dist := NewStudentisedRange(k, df)
		var got float64
		switch r.quantity {
		case "cdf":
			got = dist.CDF(r.argument)
			if tail := dist.Tail(r.argument); !(math.Abs(1-r.value-tail) <= 1e-11) {
				t.Errorf("%s: tail %.16g, want %.16g", r.name, tail, 1-r.value)
			}
		case "pdf":
			_, slope := dist.below().at(r.argument)
			if dist.Tail(r.argument) < 0.5 { // the derivative that Newton's steps use
				_, slope = dist.above.at(r.argument)
			}
			got = math.Abs(slope) / r.argument
		case "quantile":
			got = dist.Point(1 - r.argument)
		}
		rel := relative(got, r.value)
		if r.quantity != "quantile" && r.value < 1e-9 {
			if !(math.Abs(got-r.value) <= 1e-11) {
				t.Errorf("%s: got %.16g, want %.16g", r.name, got, r.value)
			}
			continue
		}
		worst[r.quantity] = math.Max(worst[r.quantity], rel)
		if !(rel <= 2*math.Pow(10, -r.digits)) {
			t.Errorf("%s: got %.16g, want %.16g", r.name, got, r.value)
		}
	}
	if count != 234 {
		t.Errorf("%d rows, want 234", count)
	}
	t.Log("largest relative errors:", worst)
}

func BenchmarkStudentisedRange(b *testing.B) {
	for _, c := range []struct {
		name string
		q    float64
		k    int
		df   float64
	}{{"4 levels, 16 df", 4.05, 4, 16}, {"10 levels, 90 df", 4.6, 10, 90}, {"3 levels, 3 df", 6, 3, 3},
		{"30 levels, 5 df", 60, 30, 5}} {
		b.Run("tail, "+c.name, func(b *testing.B) {
			for b.Loop() {
				NewStudentisedRange(c.k, c.df).Tail(c.q)
			}
		})
		b.Run("point, "+c.name, func(b *testing.B) {
			for b.Loop() {
				NewStudentisedRange(c.k, c.df).Point(0.05)
			}
		})
	}
}
