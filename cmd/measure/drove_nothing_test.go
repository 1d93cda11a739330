package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
)

// Where joints fail in three ways by chance alone, one of them rare, a cause is told in at most five series of a
// hundred, and what chance adds to a count of so many.
func TestNothingDroveFailures(t *testing.T) {
	counts(t)
	const series = 400
	told, err := counted.Share(t.Context(), series, func(ctx context.Context, i int) (bool, error) {
		return toldCause(ctx, failingByChance(uint64(i), []int{18, 24, 36}[i%3]), "failure")
	})
	if err != nil {
		t.Fatal(err)
	}
	if bound := 0.05 + 2*math.Sqrt(0.05*0.95/series); told > bound {
		t.Errorf("a cause is told in %.1f %% of series, at most %.1f %%", 100*told, 100*bound)
	}
}

// toldCause reports whether what drove a response names a factor that does not stand in doubt.
func toldCause(ctx context.Context, csv, response string) (bool, error) {
	e, err := typed.Ask(ctx, csv, "what drove "+response)
	if err != nil {
		return false, err
	}
	rows, err := typed.Rows(e, "factors", "answer")
	for _, row := range rows {
		if strings.HasPrefix(row[0].Text, "differs") && row[0].Doubt == "" {
			return true, nil
		}
	}
	return false, err
}

// failingByChance is a series of n joints of which no column has to do with how they fail.
func failingByChance(seed uint64, n int) string {
	r := rand.New(rand.NewPCG(seed, 53))
	header := []string{"specimen", "pins", "density (kg/m3)", "cure temp (degC)", "thickness (mm)", "failure"}
	ways := []string{"glue", "glue", "glue", "glue", "glue", "glue", "wood", "wood", "wood", "pins out"}
	pins := r.Perm(n)
	var rows [][]string
	for i := range n {
		rows = append(rows, []string{fmt.Sprintf("S%02d", i+1), []string{"none", "single", "pair"}[pins[i]%3],
			fmt.Sprintf("%.0f", 630+35*r.NormFloat64()), fmt.Sprint(16 + 3*r.IntN(5)), fmt.Sprint(18 + 6*r.IntN(2)),
			ways[r.IntN(len(ways))]})
	}
	// So that there is always something to ask about.
	for i, way := range []string{"glue", "glue", "glue", "wood", "wood", "wood"} {
		rows[i][5] = way
	}
	return typed.CSV(header, rows)
}
