package drove

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"

	"breakbook/cmd/measure/counted"
	"breakbook/cmd/measure/typed"
	"breakbook/models/lists"
)

// Nothing is a layout of series of which no column has to do with what is asked about.
type Nothing struct {
	Name     string
	asked    string
	between  string // the factor of which a board has one level; "" for none
	invented func(seed uint64) string
}

// Nothings are the layouts that are counted.
func Nothings() []Nothing {
	return []Nothing{
		{"failures in three ways", "what drove failure", "", func(seed uint64) string {
			return failingByChance(seed, []int{18, 24, 36}[seed%3])
		}},
		{"loads", "what drove load", "", func(seed uint64) string {
			return inBoards(seed, []int{18, 24, 36}[seed%3], 0, 0)
		}},
		{"loads, 5 boards of 6", "what drove load", "species", func(seed uint64) string {
			return inBoards(seed, 30, 5, 25)
		}},
		{"loads, 12 boards of 3", "what drove load", "species", func(seed uint64) string {
			return inBoards(seed, 36, 12, 25)
		}},
	}
}

// Count is in how many of so many series a cause is told without a doubt, and in how many that is what lies between
// boards.
func (n Nothing) Count(ctx context.Context, series int, seed uint64) (Shares, error) {
	told, err := counted.Each(ctx, series, func(ctx context.Context, i int) ([]string, error) {
		return toldCauses(ctx, n.invented(seed+uint64(i)), n.asked)
	})
	between := 0
	if n.between != "" {
		between = series
	}
	return Shares{
		{lists.Count(told, func(all []string) bool { return len(all) > 0 }), series},
		{lists.Count(told, func(all []string) bool { return slices.Contains(all, n.between) }), between},
	}, err
}

// nothings prints the share of the series in which a cause is told though nothing does anything.
func nothings(ctx context.Context, out io.Writer, series int, seed uint64) error {
	fmt.Fprintf(out, "\n%d series a layout in which nothing does anything: per cent told a cause, without a doubt\n",
		series)
	fmt.Fprintf(out, "%-24s %13s %13s\n", "asked about", "any cause", "between boards")
	for _, n := range Nothings() {
		told, err := n.Count(ctx, series, seed)
		if err != nil {
			return fmt.Errorf("%s: %w", n.Name, err)
		}
		percent := told.Percent()
		fmt.Fprintf(out, "%-24s %13s %14s\n", n.Name, figure(percent[0]), figure(percent[1]))
	}
	return nil
}

// toldCauses are the factors that are told to differ, without a doubt.
func toldCauses(ctx context.Context, csv, asked string) (told []string, err error) {
	e, err := typed.Ask(ctx, csv, asked)
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

// inBoards is a series of n specimens from boards that differ by a standard deviation, each of one species; 0: of no
// boards.
func inBoards(seed uint64, n, boards int, sd float64) string {
	r := rand.New(rand.NewPCG(seed, 59))
	header := []string{"specimen", "pins", "glue", "density (kg/m3)", "load (N)"}
	if boards > 0 {
		header = append(header, "species", "board")
	}
	pins, glue, species := r.Perm(n), r.Perm(n), r.Perm(boards)
	shift := lists.Made(boards, func(int) float64 { return sd * r.NormFloat64() })
	var rows [][]string
	for i := range n {
		row := []string{fmt.Sprintf("S%02d", i+1), []string{"none", "pair"}[pins[i]%2],
			[]string{"hide", "pva", "epoxy"}[glue[i]%3], fmt.Sprintf("%.0f", 500+200*r.Float64())}
		load := base + scatter*r.NormFloat64()
		if boards == 0 {
			rows = append(rows, append(row, fmt.Sprintf("%.1f", load)))
			continue
		}
		b := i % boards
		rows = append(rows, append(row, fmt.Sprintf("%.1f", load+shift[b]), []string{"larch", "oak"}[species[b]%2],
			fmt.Sprintf("B%d", b+1)))
	}
	return typed.CSV(header, rows)
}

// failingByChance is a series of n joints that fail in three ways, one of them rare.
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
