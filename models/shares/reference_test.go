package shares

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"breakbook/models/design"
)

// table is the columns of a reference case.
type table struct {
	A, B, C []int
	X, Z    []float64
}

type answer struct {
	Orders    int
	Rows      [][3]float64 // share, alone, beyond the rest
	Explained float64
}

// reference is testdata/reference/shares.json, made by brute force; the script beside it
// says how, with which versions.
type reference struct {
	Measures []struct {
		Data       table
		Terms      []string
		Y, Weights []float64
		Answer     answer
	}
	Modes []struct {
		Data   table
		Terms  []string
		Mode   []float64
		Answer answer
	}
	Separated []struct {
		Data   table
		Mode   []float64
		Answer struct{ A, B, All float64 }
	}
}

func references(t *testing.T) reference {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/reference/shares.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(raw, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Measures) < 50 || len(r.Modes) < 20 || len(r.Separated) < 8 {
		t.Fatalf("%d, %d and %d cases", len(r.Measures), len(r.Modes), len(r.Separated))
	}
	return r
}

// model spells terms such as a, x, a:x and x*x (the square of x).
func (d table) model(terms []string) design.Model {
	m := design.Model{Variables: []design.Variable{
		{Name: "a", Codes: d.A, Levels: []string{"0", "1", "2"}}, {Name: "b", Codes: d.B, Levels: []string{"0", "1"}},
		{Name: "c", Codes: d.C, Levels: []string{"0", "1"}}, {Name: "x", Numbers: d.X}, {Name: "z", Numbers: d.Z}}}
	at := map[string]int{"a": 0, "b": 1, "c": 2, "x": 3, "z": 4}
	for _, name := range terms {
		var term design.Term
		if name == "x*x" {
			term.Factors = []design.Factor{{Variable: 3, Function: design.Squared}}
		} else {
			for _, v := range strings.Split(name, ":") {
				term.Factors = append(term.Factors, design.Factor{Variable: at[v]})
			}
		}
		m.Terms = append(m.Terms, term)
	}
	return m
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// quick leaves the intervals and probabilities aside.
var quick = Options{Resamples: 2, Times: 2}

func (a answer) hold(t *testing.T, r *Result, within float64) {
	t.Helper()
	near(t, "explained", r.Explained, a.Explained, within)
	for i, want := range a.Rows {
		near(t, "share", r.Shares[i].Share, want[0], within)
		near(t, "alone", r.Shares[i].Alone, want[1], within)
		near(t, "beyond the rest", r.Shares[i].BeyondRest, want[2], within)
	}
}

func TestMeasuresAgainstAllOrders(t *testing.T) {
	for _, c := range references(t).Measures {
		m := c.Data.model(c.Terms)
		m.Weights = c.Weights
		r, err := OfMeasure(context.Background(), c.Y, m, quick)
		if err != nil {
			t.Fatalf("%v: %v", c.Terms, err)
		}
		c.Answer.hold(t, r, 1e-9)
	}
}

func TestModesAgainstAllOrders(t *testing.T) {
	for _, c := range references(t).Modes {
		r, err := OfMode(context.Background(), yes(c.Mode), c.Data.model(c.Terms), quick)
		if err != nil {
			t.Fatalf("%v: %v", c.Terms, err)
		}
		c.Answer.hold(t, r, 1e-8)
	}
}

func yes(mode []float64) []bool {
	out := make([]bool, len(mode))
	for i, m := range mode {
		out[i] = m == 1
	}
	return out
}

// Where levels separate, ln L comes up to that of the cells' own shares.
func TestSeparatedModesComeUpToTheSupremum(t *testing.T) {
	for _, c := range references(t).Separated {
		r, err := OfMode(context.Background(), yes(c.Mode), c.Data.model([]string{"a", "b", "a:b"}), quick)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "a alone", r.Shares[0].Alone, c.Answer.A, 1e-9)
		near(t, "b alone", r.Shares[1].Alone, c.Answer.B, 1e-9)
		near(t, "all", r.Explained, c.Answer.All, 1e-9)
	}
}
