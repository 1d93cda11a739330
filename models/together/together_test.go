package together

import (
	"math"
	"testing"

	"breakbook/models/design"
)

func numbers(x ...float64) design.Variable { return design.Variable{Numbers: x} }

func category(levels int, codes ...int) design.Variable {
	return design.Variable{Codes: codes, Levels: make([]string, levels)}
}

// The expected values are worked by hand in the comment of each case.
func TestStrength(t *testing.T) {
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
		{"three levels partly", category(3, 0, 0, 0, 1, 1, 2, 2, 2), category(3, 0, 0, 2, 1, 1, 1, 2, 2), math.Sqrt(0.5)},
		// far from zero whole numbers have the deviations they have near it
		{"numbers far away", numbers(1e12+1, 1e12+2, 1e12+3), numbers(1e12+4, 1e12+1, 1e12+4), 0},
		{"numbers far away on a line", numbers(1e12+1, 1e12+2, 1e12+3), numbers(1e12+9, 1e12+7, 1e12+5), 1},
		{"number far away and category", numbers(1e12+1, 1e12+3, 1e12+5, 1e12+7), category(2, 0, 0, 1, 1), math.Sqrt(0.8)},
		{"number and one level", numbers(1, 2, 4), category(2, 1, 1, 1), math.NaN()},
		{"one level only", category(1, 0, 0, 0), category(2, 0, 1, 1), math.NaN()},
		{"constant number", numbers(2, 2, 2), category(2, 0, 1, 1), math.NaN()},
	}
	for _, c := range cases {
		got, err := Strength(t.Context(), c.a, c.b)
		if err != nil {
			t.Fatal(err)
		}
		if math.IsNaN(c.want) != math.IsNaN(got) || math.Abs(got-c.want) > 1e-14 {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
	}
}
