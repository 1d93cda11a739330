package checks

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"breakbook/models/compare"
	"breakbook/models/design"
)

const handbook = "../../testdata/published/handbook/"

func rows(t *testing.T, path string) [][]string {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	all, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all[1:]
}

func number(t *testing.T, word string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(word, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func column(t *testing.T, path string, at int) []float64 {
	t.Helper()
	var out []float64
	for _, row := range rows(t, path) {
		out = append(out, number(t, row[at]))
	}
	return out
}

// Shapiro-Wilk: scipy 1.10.1, W to 5 figures and p to 3. Grubbs: from the t quantile,
// scipy 1.10.1, 8 figures.
func TestPublishedTable(t *testing.T) {
	shapes, points := 0, 0
	for _, row := range rows(t, "../../testdata/published/distributions.csv") {
		switch row[0] {
		case "shapiro_wilk":
			shapes++
			var values []float64
			for _, word := range strings.Fields(row[3]) {
				values = append(values, number(t, word))
			}
			w, p, err := ShapiroWilk(values)
			if err != nil {
				t.Fatal(err)
			}
			got, within := w, 1e-5
			if row[1] == "p" {
				got, within = p, 1e-3
			}
			if want := number(t, row[4]); !(math.Abs(got-want) <= within*want) {
				t.Errorf("%s of %s: %g, want %g", row[1], row[2], got, want)
			}
		case "grubbs_one_sided", "grubbs_two_sided":
			points++
			var n, alpha float64
			for _, pair := range strings.Split(row[2], ";") {
				name, value, _ := strings.Cut(pair, "=")
				if name == "n" {
					n = number(t, value)
				} else {
					alpha = number(t, value)
				}
			}
			if row[0] == "grubbs_one_sided" {
				alpha *= 2
			}
			if got, want := GrubbsCritical(int(n), n-1, alpha), number(t, row[4]); !(math.Abs(got-want) <= 1e-7*want) {
				t.Errorf("%s %s: %.9g, want %.9g", row[0], row[2], got, want)
			}
		}
	}
	if shapes != 12 || points != 124 {
		t.Errorf("%d shapes and %d points, want 12 and 124", shapes, points)
	}
}

// Gear diameters, e-Handbook 1.3.5.10 (page eda35a): printed W 1.705910; scipy 1.10.1
// 1.7059176930008939 and p 0.0990829755522.
func TestGears(t *testing.T) {
	groups := make([][]float64, 10)
	for _, row := range rows(t, handbook+"gear.csv") {
		b := int(number(t, row[0])) - 1
		groups[b] = append(groups[b], number(t, row[1]))
	}
	o, err := compare.BrownForsythe(t.Context(), groups)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(o.F-1.7059176930008939) <= 1e-11) || !(math.Abs(o.P-0.0990829755522) <= 1e-12) ||
		o.DF1 != 9 || o.DF2 != 90 {
		t.Errorf("F %.14g on %g and %g, p %.12g", o.F, o.DF1, o.DF2, o.P)
	}
}

// Uranium, e-Handbook 1.3.5.17.1 (page eda35h1): printed G 2.4687; recomputed with scipy
// 1.10.1 2.46876461121, critical 2.12664508720 (two-sided).
func TestUranium(t *testing.T) {
	y := column(t, handbook+"uranium_grubbs.csv", 0)
	odd, err := Oddest(solve(t, y, design.Model{}), 0.05)
	if err != nil {
		t.Fatal(err)
	}
	if y[odd.Specimen] != 245.57 || !(math.Abs(odd.G-2.46876461121) <= 1e-10) ||
		!(math.Abs(odd.Critical-2.12664508720) <= 1e-10) {
		t.Errorf("specimen %d, G %.12g, critical %.12g", odd.Specimen, odd.G, odd.Critical)
	}
	if (odd.P < 0.05) != (odd.G > odd.Critical) {
		t.Errorf("p %g does not go with G", odd.P)
	}
}

// Rosner's 54 values, e-Handbook 1.3.5.17.3 (page eda35h3): three are odd although the
// first two steps pass, so that one test alone finds none. Recomputed with scipy 1.10.1.
func TestRosner(t *testing.T) {
	f := solve(t, column(t, handbook+"rosner_esd.csv", 0), design.Model{})
	want := rows(t, handbook+"rosner_esd_results.csv")
	steps, odd, err := Several(context.Background(), f, len(want), 0.05)
	if err != nil || len(steps) != 10 {
		t.Fatalf("%d steps (%v)", len(steps), err)
	}
	if odd != 3 {
		t.Errorf("%d odd, want 3", odd)
	}
	for i, row := range want {
		if g, c := number(t, row[3]), number(t, row[4]); !(math.Abs(steps[i].G-g) <= 1e-6) ||
			!(math.Abs(steps[i].Critical-c) <= 1e-6) {
			t.Errorf("step %d: %g against %g, want %g against %g", i+1, steps[i].G, steps[i].Critical, g, c)
		}
	}
	one, err := Oddest(f, 0.05)
	if err != nil || one.P < 0.05 {
		t.Errorf("the first step alone: p %g (%v)", one.P, err)
	}
}
