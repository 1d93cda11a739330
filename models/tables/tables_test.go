package tables

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"

	"breakbook/models/dist"
	"breakbook/models/resample"
)

// reference is testdata/reference/modes.json, made by modes.py beside it.
type reference struct {
	Tables []struct {
		Counts    [][]int
		Exact     float64
		ChiSquare float64 `json:"chi_square"`
		DF        int
		P         float64
	}
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.14g, want %.14g within %g of it", what, got, want, relative)
	}
}

func TestAgainstFullEnumeration(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/modes.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Tables) < 20 {
		t.Fatalf("only %d tables", len(r.Tables))
	}
	for _, c := range r.Tables {
		got, err := Of(context.Background(), c.Counts, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got.Tables != 0 || got.DF != c.DF {
			t.Errorf("%v: %+v", c.Counts, got)
		}
		near(t, "exact", got.Exact, c.Exact, 1e-9)
		near(t, "chi-square", got.ChiSquare, c.ChiSquare, 1e-12)
		near(t, "p", got.P, c.P, 1e-9)
	}
}

// TestDiodeLots: NIST/SEMATECH e-Handbook 7.4.5, chi-square 12.131 on 4 degrees of freedom,
// p 0.01641 as printed; more digits by scipy 1.10.1.
func TestDiodeLots(t *testing.T) {
	file, err := os.Open("../../testdata/published/handbook/diode_lots.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var counts [][]int
	for _, r := range rows[1:] {
		bad, err1 := strconv.Atoi(r[1])
		good, err2 := strconv.Atoi(r[2])
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		counts = append(counts, []int{bad, good})
	}
	got, err := Of(context.Background(), counts, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "chi-square", got.ChiSquare, 12.130718954248, 1e-12)
	near(t, "p", got.P, 0.016405221989, 1e-9)
	if got.DF != 4 || got.Tables != 0 {
		t.Errorf("%+v", got)
	}
	// 100,000 random tables (scipy 1.10.1 multivariate_hypergeom, random_state 1) gave 0.02149;
	// four simulation errors are 0.0018.
	if !(math.Abs(got.Exact-0.02149) <= 0.0018) {
		t.Errorf("exact %g", got.Exact)
	}
}

// large is 80 joints at five levels, broken in four ways.
var large = [][]int{{6, 4, 4, 2}, {3, 7, 4, 2}, {5, 2, 6, 3}, {8, 3, 3, 2}, {2, 5, 5, 4}}

func TestFiveByFourOfEightyIsCountedOut(t *testing.T) {
	got, err := Of(context.Background(), large, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got.Tables != 0 {
		t.Fatal("not counted out")
	}
	drawn, err := Of(context.Background(), large, Options{Steps: 1, Seed: 7})
	if err != nil {
		t.Fatal(err)
	}
	if drawn.Tables != RandomTables || !(drawn.Error > 0 && drawn.Error < 0.002) {
		t.Errorf("%+v", drawn)
	}
	if off := math.Abs(drawn.Exact - got.Exact); !(off <= 4*drawn.Error) {
		t.Errorf("drawn %g, counted %g, error %g", drawn.Exact, got.Exact, drawn.Error)
	}
}

// TestDrawnTablesAgreeWithCountedOnes: tables of unlike totals, levels and modes, drawn and
// counted out, lie within four simulation errors of each other.
func TestDrawnTablesAgreeWithCountedOnes(t *testing.T) {
	for i, c := range [][][]int{
		{{3, 9}, {8, 4}},
		{{1, 0, 4}, {0, 3, 2}, {2, 2, 0}},
		{{40, 60}, {55, 52}, {30, 61}},
		{{900, 1100}, {1010, 950}},
		{{12, 3, 1, 1}, {7, 6, 2, 0}},
		{{1, 1}, {1, 70}, {2, 60}},
	} {
		counted, err := Of(context.Background(), c, Options{})
		if err != nil {
			t.Fatal(err)
		}
		drawn, err := Of(context.Background(), c, Options{Steps: 1, Seed: uint64(i)})
		if err != nil {
			t.Fatal(err)
		}
		if counted.Tables != 0 || drawn.Tables != RandomTables {
			t.Fatalf("%v: counted %+v, drawn %+v", c, counted, drawn)
		}
		if off := math.Abs(drawn.Exact - counted.Exact); !(off <= 4*drawn.Error) {
			t.Errorf("%v: drawn %g, counted %g, error %g", c, drawn.Exact, counted.Exact, drawn.Error)
		}
	}
}

// TestDrawnTablesCountThisOne: of N random tables of which b are no likelier the probability is (b + 1)/(N + 1)
// (Davison and Hinkley 1997, 4.2), so that of a table that no other comes near it is 1/(N + 1), and of one than which
// none is likelier 1; its error is that of a share of N.
func TestDrawnTablesCountThisOne(t *testing.T) {
	const all = RandomTables + 1
	for _, c := range []struct {
		counts [][]int
		want   float64
	}{{[][]int{{300, 0}, {0, 300}}, 1.0 / all}, {[][]int{{4, 4}, {4, 4}}, 1}} {
		got, err := Of(context.Background(), c.counts, Options{Steps: 1, Seed: 3})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "probability", got.Exact, c.want, 1e-15)
		if want := math.Sqrt(c.want * (1 - c.want) / RandomTables); !(math.Abs(got.Error-want) <= 1e-12) {
			t.Errorf("%v: error %g, want %g", c.counts, got.Error, want)
		}
	}
}

// TestLeastExpected: 3 rows of 8, 6 and 6 against columns of 13 and 7 of 20 expect 6·7/20 at least.
func TestLeastExpected(t *testing.T) {
	got, err := Of(context.Background(), [][]int{{6, 2}, {3, 3}, {4, 2}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "least expected", got.Least, 2.1, 1e-15)
}

// TestSharesAreHypergeometric: 200,000 draws of each, set against the probabilities by
// chi-square, at a chance of one in a million of failing (the seed is fixed, so it passes or it
// does not).
func TestSharesAreHypergeometric(t *testing.T) {
	const draws = 200_000
	d := dealer{lnFactorial: lnFactorials(t.Context(), 200)}
	stream := resample.Stream(5, 0)
	for _, c := range [][3]int{{5, 7, 4}, {60, 3, 59}, {100, 100, 40}, {1, 150, 20}, {90, 10, 95}} {
		column, others, need := c[0], c[1], c[2]
		seen := map[int]int{}
		for range draws {
			seen[d.share(stream, column, others, need)]++
		}
		statistic, df, sum := 0.0, -1, 0.0
		for x := max(0, need-others); x <= min(need, column); x++ {
			p := combin(column, x) * combin(others, need-x) / combin(column+others, need)
			sum += p
			if e := p * draws; e >= 10 {
				off := float64(seen[x]) - e
				statistic, df = statistic+off*off/e, df+1
			}
		}
		near(t, "probabilities", sum, 1, 1e-9)
		if p := dist.ChiSquareTail(statistic, float64(max(df, 1))); p < 1e-6 {
			t.Errorf("%v: chi-square %g on %d", c, statistic, df)
		}
	}
}

// combin is how many ways there are to choose m of n, multiplied out.
func combin(n, m int) float64 {
	product := 1.0
	for i := 1; i <= m; i++ {
		product *= float64(n-m+i) / float64(i)
	}
	return product
}

// TestProbabilitiesOfAllTablesAddUp counts every table in by an endless limit.
func TestProbabilitiesOfAllTablesAddUp(t *testing.T) {
	for _, c := range [][2][]int{{{5, 7, 9}, {4, 4, 6, 7}}, {{10, 11}, {3, 18}}, {{200, 300}, {250, 100, 150}},
		{{3, 3, 3, 3}, {2, 2, 2, 3, 3}}} {
		sum := 0.0
		k := newCounter(context.Background(), c[0], c[1], mostSteps)
		middle := len(k.columns) / 2
		nodes := map[string]*node{string(appendKey(nil, k.rows)): {state: k.rows, classes: []likelihoodClass{{0, 1}}}}
		for j := range middle {
			var err error
			if nodes, err = k.forward(nodes, k.columns[j]); err != nil {
				t.Fatal(err)
			}
		}
		for _, id := range ids(nodes) {
			ahead, err := k.onward(make([]map[string][]likelihoodClass, len(k.columns)), nodes[id].state, middle)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range nodes[id].classes {
				sum += w.p * ahead[len(ahead)-1].p
			}
		}
		near(t, "all tables", sum, 1, 1e-11)
	}
}

// TestOrderDoesNotMatter turns a table round and mixes its rows.
func TestOrderDoesNotMatter(t *testing.T) {
	one, err := Of(context.Background(), [][]int{{1, 4, 0}, {3, 2, 5}, {2, 2, 2}, {0, 0, 0}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	other, err := Of(context.Background(), [][]int{{0, 2, 5}, {1, 2, 3}, {4, 2, 2}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "turned round", other.Exact, one.Exact, 1e-12)
}

func TestOneWayIsRefused(t *testing.T) {
	for _, c := range [][][]int{{{1, 2}}, {{1}, {2}}, {{1, 0}, {2, 0}}, nil} {
		if _, err := Of(context.Background(), c, Options{}); !errors.Is(err, ErrOneWay) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

func TestCountingStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Of(ctx, large, Options{}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// BenchmarkFiveByFourOfEighty has to stay under a second.
func BenchmarkFiveByFourOfEighty(b *testing.B) {
	for b.Loop() {
		if _, err := Of(context.Background(), large, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
