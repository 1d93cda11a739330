package together

import (
	"math"
	"math/rand/v2"
	"testing"

	"breakbook/models/design"
)

func numbers(x ...float64) design.Variable { return design.Variable{Numbers: x} }

func category(levels int, codes ...int) design.Variable {
	return design.Variable{Codes: codes, Levels: make([]string, levels)}
}

// The expected values are worked by hand in the comment of each case.
func TestStrength(t *testing.T) {
	const far = 1 << 51
	cases := []struct {
		name string
		a, b design.Variable
		want float64
	}{
		{"numbers on a line", numbers(1, 2, 3, 4), numbers(10, 8, 6, 4), 1},
		// deviations (−1, 0, 1) and (1, −2, 1): products −1 + 0 + 1 = 0
		{"numbers unrelated", numbers(1, 2, 3), numbers(4, 1, 4), 0},
		// means 2 and 6 about 4: between 4·4 = 16, within 2·1 + 2·1 = 4; √(16/20)
		{"number and category", numbers(1, 3, 5, 7), category(2, 0, 0, 1, 1), math.Sqrt(0.8)},
		{"category and number, turned", category(2, 0, 0, 1, 1), numbers(1, 3, 5, 7), math.Sqrt(0.8)},
		{"categories one to one", category(3, 0, 1, 2, 0), category(3, 2, 1, 0, 2), 1},
		{"categories unrelated", category(2, 0, 0, 1, 1), category(2, 0, 1, 0, 1), 0},
		// counts 2 1 / 1 2 of 6, expected 1.5 each: χ² = 4·0.25/1.5 = 2/3; √(2/3/6)
		{"categories partly", category(2, 0, 0, 0, 1, 1, 1), category(2, 0, 0, 1, 0, 1, 1), 1.0 / 3},
		{"a level without specimens", category(3, 0, 0, 2, 2), category(2, 0, 0, 1, 1), 1},
		// counts 2 0 1 / 0 2 0 / 0 1 2 of 8: rows 3 2 3, columns 2 3 3, χ²/8 = Σ o²/(row·column) − 1
		// = 4/6 + 1/9 + 4/6 + 1/9 + 4/9 − 1 = 1; √(1/2)
		{"three levels partly", category(3, 0, 0, 0, 1, 1, 2, 2, 2), category(3, 0, 0, 2, 1, 1, 1, 2, 2),
			math.Sqrt(0.5)},
		// far from zero whole numbers have the deviations they have near it: −7 −3 2 8, their squares 126, and −5 3 1
		// 1, theirs 36, products 35 − 9 + 2 + 8 = 36; in two levels, means −5 and 5 about 0
		{"numbers far away", numbers(far-7, far-3, far+2, far+8), numbers(5, 13, 11, 11), 6 / math.Sqrt(126)},
		{"the other far away", numbers(5, 13, 11, 11), numbers(far-7, far-3, far+2, far+8), 6 / math.Sqrt(126)},
		{"number far away and category", numbers(far-7, far-3, far+2, far+8), category(2, 0, 0, 1, 1),
			math.Sqrt(100.0 / 126)},
		{"number and one level", numbers(1, 2, 4), category(2, 1, 1, 1), math.NaN()},
		{"one level only", category(1, 0, 0, 0), category(2, 0, 1, 1), math.NaN()},
		{"constant number", numbers(2, 2, 2), category(2, 0, 1, 1), math.NaN()},
	}
	for _, c := range cases {
		got, err := Strength(t.Context(), c.a, c.b)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(got-c.want) <= 1e-14) && !(math.IsNaN(c.want) && math.IsNaN(got)) {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}

// One is read off the other, whatever they are: rounding makes it no more than that.
func TestNeverAboveOne(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		levels := 2 + draw.IntN(5)
		of, n := make([]float64, levels), levels+draw.IntN(20)
		for l := range of {
			of[l] = 400 + 100*draw.NormFloat64()
		}
		a, b, x := category(levels), category(levels), numbers()
		for i := range n {
			l := i % levels
			a.Codes, b.Codes, x.Numbers = append(a.Codes, l), append(b.Codes, levels-1-l), append(x.Numbers, of[l])
		}
		for _, other := range []design.Variable{b, x} {
			got, err := Strength(t.Context(), a, other)
			if err != nil || got > 1 || got < 1-1e-12 {
				t.Fatalf("%v (%v)", got, err)
			}
		}
	}
}
