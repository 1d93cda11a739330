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
	if math.Abs(got.Exact-0.02149) > 0.0018 {
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
	if off := math.Abs(drawn.Exact - got.Exact); off > 4*drawn.Error {
		t.Errorf("drawn %g, counted %g, error %g", drawn.Exact, got.Exact, drawn.Error)
	}
}

// TestProbabilitiesOfAllTablesAddUp counts every table in by an endless limit.
func TestProbabilitiesOfAllTablesAddUp(t *testing.T) {
	for _, c := range [][2][]int{{{5, 7, 9}, {4, 4, 6, 7}}, {{10, 11}, {3, 18}}, {{200, 300}, {250, 100, 150}}, {{3, 3, 3, 3}, {2, 2, 2, 3, 3}}} {
		sum := 0.0
		k := newCounter(context.Background(), c[0], c[1], mostSteps)
		middle := len(k.columns) / 2
		nodes := map[string]*node{string(appendKey(nil, k.rows)): {state: k.rows, ways: []way{{0, 1}}}}
		for j := range middle {
			var err error
			if nodes, err = k.forward(nodes, k.columns[j]); err != nil {
				t.Fatal(err)
			}
		}
		for _, id := range ids(nodes) {
			ahead, err := k.onward(make([]map[string][]way, len(k.columns)), nodes[id].state, middle)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range nodes[id].ways {
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
