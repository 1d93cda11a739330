package main

import (
	"fmt"
	"math"

	"breakbook/cmd/measure/theory"
	"breakbook/models/doubts"
)

// byTheory is, by the doubt that names a fault, how often its check is clear in a series of n
// specimens with that fault as planted; a doubt told by a rule and not by a test has none. What the
// remedy has to change besides is not in it.
var byTheory = map[string]func(n int) float64{
	"left-out": func(n int) float64 { return theory.LeftOut(n, 1.2, 30, scatter, doubts.Clear) },
	"combination": func(n int) float64 {
		return theory.Combination(n, 160, scatter, doubts.Clear)
	},
	"bend": func(n int) float64 {
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i] = 500 + 200*float64(i)/float64(n-1)
			y[i] = -100 * math.Pow((x[i]-600)/100, 2)
		}
		return theory.Bend(x, y, scatter, doubts.Clear)
	},
	"odd-specimen": func(n int) float64 { return theory.Odd(n, 9*meanLoad, scatter, doubts.Clear) },
	// beside Brown and Forsythe's test, so at half the size at least
	"uneven-spread": func(int) float64 { return theory.Spreads(12, 4, 29, doubts.Clear/2) },
	"ceiling": func(n int) float64 {
		end := meanLoad + 45 - 0.5 // what the gauge rounds to the end
		reach := func(mean float64) float64 { return math.Erfc((end-mean)/scatter/math.Sqrt2) / 2 }
		return theory.Ceiling(n, max(3, (n+9)/10), reach(meanLoad), reach(meanLoad+60))
	},
	"many-asked": func(n int) float64 { return theory.Several(12, float64(max(n, 40)-13), 0.05) },
}

// inTheory is byTheory as the table shows it.
func inTheory(code string, n int) string {
	if f, ok := byTheory[code]; ok {
		return fmt.Sprintf("%.1f%%", 100*f(n))
	}
	return "rule"
}
