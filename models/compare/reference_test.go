package compare

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"testing"
)

// reference is testdata/reference/comparisons.json; the script beside it says by which
// route scipy, statsmodels and numpy came to each answer, and their versions.
type reference struct {
	Cases []struct {
		Values [][]float64
		Uneven struct {
			F, DF2, P float64
			Pairs     [][]*float64 // difference, standard error, df, p, low, high
			Sidak     []float64
		}
		Ranked struct {
			H, P float64
			Rows [][]*float64 // rank sum of the second, shift, low, high, p
		}
		Levene []float64 // F, p
		Figure struct {
			Figure float64
			T, P   []float64
			Own    []float64 `json:"own_p"`
			F      float64
			FP     float64 `json:"f_p"`
		}
	}
	Shuffles []shuffleCase
}

type shuffleCase struct {
	Y              []float64
	Labels, Blocks []int
	Levels         int
	Answer         struct {
		Arrangements int
		Differences  []float64
		T, P         []float64
		F            float64
		FP           float64 `json:"f_p"`
	}
}

func references(t *testing.T) reference {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/reference/comparisons.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(raw, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Cases) < 100 || len(r.Shuffles) < 30 {
		t.Fatalf("%d cases and %d to reshuffle", len(r.Cases), len(r.Shuffles))
	}
	return r
}

// alike holds got to 1e-8 of want, or of one where want is smaller; nothing is an end
// that does not exist.
func alike(t *testing.T, what string, got float64, want *float64) {
	t.Helper()
	if want == nil {
		if !math.IsNaN(got) && !math.IsInf(got, 0) {
			t.Errorf("%s: got %.12g where there is none", what, got)
		}
		return
	}
	near(t, what, got, *want, 1e-8*math.Max(1, math.Abs(*want)))
}

func TestUnevenSpreadAgainstReference(t *testing.T) {
	ctx := context.Background()
	for _, c := range references(t).Cases {
		o, err := Welch(t.Context(), c.Values)
		if err != nil {
			t.Fatal(err)
		}
		alike(t, "Welch's F", o.F, &c.Uneven.F)
		alike(t, "Welch's df", o.DF2, &c.Uneven.DF2)
		alike(t, "Welch's p", o.P, &c.Uneven.P)
		m, err := Uneven(t.Context(), c.Values)
		if err != nil {
			t.Fatal(err)
		}
		r, err := AllPairs(ctx, m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range c.Uneven.Pairs {
			d := r.Differences[i]
			alike(t, "difference", d.Diff, want[0])
			alike(t, "standard error", d.SE, want[1])
			alike(t, "df", d.DF, want[2])
			alike(t, "p of Games and Howell", d.P, want[3])
			if want[4] != nil {
				alike(t, "low", d.Low, want[4])
				alike(t, "high", d.High, want[5])
			}
		}
		if r, err = Against(ctx, m, 0, Options{}); err != nil {
			t.Fatal(err)
		}
		for i, want := range c.Uneven.Sidak {
			alike(t, "p of Šidák", r.Differences[i].P, &want)
		}
		if c.Levene != nil {
			if o, err = BrownForsythe(t.Context(), c.Values); err != nil {
				t.Fatal(err)
			}
			alike(t, "F of Brown and Forsythe", o.F, &c.Levene[0])
			alike(t, "its p", o.P, &c.Levene[1])
		}
	}
}

func TestRanksAgainstReference(t *testing.T) {
	large := 0
	for _, c := range references(t).Cases {
		o, err := KruskalWallis(t.Context(), c.Values)
		if err != nil {
			t.Fatal(err)
		}
		alike(t, "H", o.F, &c.Ranked.H)
		alike(t, "p of H", o.P, &c.Ranked.P)
		r, err := Ranked(context.Background(), c.Values, -1, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range c.Ranked.Rows {
			d := r.Differences[i]
			alike(t, "rank sum", d.Statistic, want[0])
			alike(t, "shift", d.Diff, want[1])
			alike(t, "low", d.Low, want[2])
			alike(t, "high", d.High, want[3])
			alike(t, "p", d.P, want[4])
			if len(c.Values[d.First])+len(c.Values[d.Second]) > 20 {
				large++
			}
		}
		if !r.Every {
			t.Error("not every pair is exact")
		}
	}
	if large < 5 {
		t.Errorf("only %d pairs are of more than 20 specimens", large)
	}
}

func TestFigureAgainstReference(t *testing.T) {
	for _, c := range references(t).Cases {
		for _, own := range []bool{false, true} {
			m, err := WithFigure(t.Context(), c.Values, c.Figure.Figure, own)
			if err != nil {
				t.Fatal(err)
			}
			r, err := Against(context.Background(), m, 0, Options{})
			if err != nil {
				t.Fatal(err)
			}
			want := c.Figure.P
			if own {
				want = c.Figure.Own
			} else {
				o := OverallFigure(m)
				alike(t, "F", o.F, &c.Figure.F)
				alike(t, "p of F", o.P, &c.Figure.FP)
			}
			for i, d := range r.Differences {
				alike(t, "p", d.P, &want[i])
				if !own {
					alike(t, "t", d.Statistic, &c.Figure.T[i])
				}
			}
		}
	}
}

// byLevel turns a case into values by level, with the block of each.
func (c shuffleCase) byLevel() (values [][]float64, blocks [][]int) {
	values, blocks = make([][]float64, c.Levels), make([][]int, c.Levels)
	for i, l := range c.Labels {
		values[l] = append(values[l], c.Y[i])
		blocks[l] = append(blocks[l], c.Blocks[i])
	}
	return values, blocks
}

func TestReshufflesAgainstEnumeration(t *testing.T) {
	blocked := 0
	for _, c := range references(t).Shuffles {
		values, blocks := c.byLevel()
		r, err := Reshuffled(context.Background(), values, blocks, -1, Options{})
		if err != nil {
			t.Fatalf("%v: %v", c, err)
		}
		if !r.Every || r.Arrangements != c.Answer.Arrangements {
			t.Errorf("%d arrangements, want %d", r.Arrangements, c.Answer.Arrangements)
		}
		alike(t, "F", r.Overall.F, &c.Answer.F)
		alike(t, "p of F", r.Overall.P, &c.Answer.FP)
		for i, d := range r.Differences {
			alike(t, "difference", d.Diff, &c.Answer.Differences[i])
			alike(t, "t", d.Statistic, &c.Answer.T[i])
			alike(t, "p", d.P, &c.Answer.P[i])
		}
		if c.Blocks[len(c.Blocks)-1] > 0 {
			blocked++
		}
	}
	if blocked < 10 {
		t.Errorf("only %d cases with blocks", blocked)
	}
}
