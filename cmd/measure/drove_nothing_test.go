package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
	"breakbook/models/lists"
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

// Where specimens come from five boards and nothing does anything, a cause is told without a doubt in at most five
// series of a hundred; the species, of which each board has one, in one of them, as one of four factors that share
// what may be false.
func TestNothingDroveLoadsInBoards(t *testing.T) {
	counts(t)
	const series = 800
	told, err := counted.Each(t.Context(), series, func(ctx context.Context, i int) ([]string, error) {
		return toldCauses(ctx, inBoards(uint64(i), 30, 5, 25), "load")
	})
	if err != nil {
		t.Fatal(err)
	}
	some, between := 0.0, 0.0
	for _, all := range told {
		if len(all) > 0 {
			some++
		}
		if slices.Contains(all, "species") {
			between++
		}
	}
	for _, c := range []struct {
		what      string
		n, atMost float64
	}{{"a cause", some, 0.05}, {"species", between, 0.01}} {
		if bound := c.atMost + 2*math.Sqrt(c.atMost*(1-c.atMost)/series); c.n/series > bound {
			t.Errorf("%s is told in %.1f %% of series, at most %.1f %%", c.what, 100*c.n/series, 100*bound)
		}
	}
}

// inBoards is a series of n specimens from boards that differ by a standard deviation, of which no column has to do
// with the load; each board is of one species.
func inBoards(seed uint64, n, boards int, sd float64) string {
	r := rand.New(rand.NewPCG(seed, 59))
	header := []string{"specimen", "pins", "glue", "density (kg/m3)", "species", "board", "load (N)"}
	pins, glue, species := r.Perm(n), r.Perm(n), r.Perm(boards)
	var rows [][]string
	shift := lists.Made(boards, func(int) float64 { return sd * r.NormFloat64() })
	for i := range n {
		b := i % boards
		rows = append(rows, []string{fmt.Sprintf("S%02d", i+1), []string{"none", "pair"}[pins[i]%2],
			[]string{"hide", "pva", "epoxy"}[glue[i]%3], fmt.Sprintf("%.0f", 500+200*r.Float64()),
			[]string{"larch", "oak"}[species[b]%2], fmt.Sprintf("B%d", b+1),
			fmt.Sprintf("%.1f", 400+shift[b]+30*r.NormFloat64())})
	}
	return typed.CSV(header, rows)
}

// toldCause reports whether what drove a response names a factor that does not stand in doubt.
func toldCause(ctx context.Context, csv, response string) (bool, error) {
	told, err := toldCauses(ctx, csv, response)
	return len(told) > 0, err
}

// toldCauses are the factors that what drove a response tells to differ, without a doubt.
func toldCauses(ctx context.Context, csv, response string) (told []string, err error) {
	e, err := typed.Ask(ctx, csv, "what drove "+response)
	if err != nil {
		return nil, err
	}
	rows, err := typed.Rows(e, "factors", "factor", "answer")
	for _, row := range rows {
		if strings.HasPrefix(row[1].Text, "differs") && row[1].Doubt == "" {
			told = append(told, row[0].Text)
		}
	}
	return told, err
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
