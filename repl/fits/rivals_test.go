package fits

import (
	"math"
	"slices"
	"testing"

	"breakbook/models/verdict"
	"breakbook/repl/page"
)

// A fit's weight is exp(−Δ/2) as a share of all, Δ its AICc less the least (Akaike 1978; Burnham &
// Anderson 2002, section 2.9). So of two fits one has nine times the other's weight, which
// is clearly best, from a difference of 2·ln 9 = 4.3944 on.
func TestWeightsOfRivals(t *testing.T) {
	const tie, won = verdict.CannotTell, verdict.Differs
	for _, c := range []struct {
		name    string
		aicc    []float64
		weights []float64
		answers []verdict.Answer // of each pair of fits, the best two first
	}{
		{"alike", []float64{100, 100}, []float64{0.5, 0.5}, []verdict.Answer{tie, tie}},
		{"three to one", []float64{100, 100 + 2*math.Log(3)}, []float64{0.75, 0.25}, []verdict.Answer{tie, tie}},
		{"just short of nine to one", []float64{-7, -7 + 4.394}, []float64{0.89998, 0.10002},
			[]verdict.Answer{tie, tie}},
		{"just over nine to one", []float64{-7, -7 + 4.395}, []float64{0.90002, 0.09998}, []verdict.Answer{won, won}},
		{"the second better", []float64{12 + 2*math.Log(99), 12}, []float64{0.01, 0.99}, []verdict.Answer{won, won}},
		// Of all three together the best has 0.64, but it has 16 times the weight of the last.
		{"three", []float64{50, 50 + 2*math.Log(2), 50 + 2*math.Log(16)}, []float64{0.64, 0.32, 0.04},
			[]verdict.Answer{tie, won, tie, tie, won, tie}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var list []rival
			for i, a := range c.aicc {
				list = append(list, rival{name: string(rune('a' + i)), aicc: a})
			}
			weigh(list)
			for i, r := range list {
				if math.Abs(r.weight-c.weights[i]) > 1e-5 {
					t.Errorf("%s weighs %.6f, want %.6f", r.name, r.weight, c.weights[i])
				}
			}
			var answers []verdict.Answer
			for _, m := range mainsOf(list, byWeight(list), page.Say("told")) {
				answers = append(answers, m.Gap.Answer)
			}
			if !slices.Equal(answers, c.answers) {
				t.Errorf("answers %v, want %v", answers, c.answers)
			}
		})
	}
}
