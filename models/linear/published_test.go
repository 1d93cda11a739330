package linear

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"math/big"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"breakbook/models/design"
)

const nist = "../../testdata/published/nist"

// digits is the number of correct significant digits, −log₁₀ of the relative error
// (of the error itself where the right value is 0), at most 16.
func digits(got, want float64) float64 {
	if math.IsNaN(got) {
		return 0
	}
	e := math.Abs(got - want)
	if want != 0 {
		e /= math.Abs(want)
	}
	return math.Max(0, math.Min(16, -math.Log10(e)))
}

// columns reads a CSV into its columns by name.
func columns(t testing.TB, path string) map[string][]string {
	t.Helper()
	file, err := os.Open(filepath.Join(nist, path))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	named := map[string][]string{}
	for _, row := range rows[1:] {
		for j, name := range rows[0] {
			named[name] = append(named[name], row[j])
		}
	}
	return named
}

func numbers(t testing.TB, words []string) []float64 {
	t.Helper()
	x := make([]float64, len(words))
	for i, word := range words {
		var err error
		if x[i], err = strconv.ParseFloat(word, 64); err != nil {
			t.Fatal(err)
		}
	}
	return x
}

// category makes a category of words, levels in order of appearance.
func category(name string, words []string) design.Variable {
	v := design.Variable{Name: name, Codes: make([]int, len(words))}
	at := map[string]int{}
	for i, word := range words {
		if _, ok := at[word]; !ok {
			at[word] = len(v.Levels)
			v.Levels = append(v.Levels, word)
		}
		v.Codes[i] = at[word]
	}
	return v
}

func number(name string, x []float64) design.Variable { return design.Variable{Name: name, Numbers: x} }

// term is the product of variables as they are.
func term(variables ...int) design.Term {
	var t design.Term
	for _, v := range variables {
		t.Factors = append(t.Factors, design.Factor{Variable: v})
	}
	return t
}

func powers(degree int) []design.Term {
	terms := []design.Term{term(0)}
	for k := 2; k <= degree; k++ {
		terms = append(terms, design.Term{Factors: []design.Factor{{Function: design.PowerOf, Power: float64(k)}}})
	}
	return terms
}

func solve(t testing.TB, y []float64, m design.Model) *Fit {
	t.Helper()
	f, err := Solve(context.Background(), y, m)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func anova(t testing.TB, f *Fit, a Adjustment) *Anova {
	t.Helper()
	table, err := f.Anova(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// figure is one value set against what it should be.
type figure struct {
	name      string
	got, want float64
}

// atLeast fails for figures with fewer digits than asked, and reports the worst.
func atLeast(t *testing.T, set string, asked float64, figures []figure) {
	t.Helper()
	worst := figure{}
	least := math.Inf(1)
	for _, f := range figures {
		d := digits(f.got, f.want)
		if d < asked {
			t.Errorf("%s %s: %.17g, published %.17g: %.2f digits of %.1f", set, f.name, f.got, f.want, d, asked)
		}
		if d < least {
			least, worst = d, f
		}
	}
	t.Logf("%-10s %5.2f digits at worst (%s), %d figures, asked %.1f", set, least, worst.name, len(figures), asked)
}

func TestNISTRegression(t *testing.T) {
	certified := columns(t, "regression/certified.csv")
	for _, set := range []struct {
		name       string
		predictors int
		asked      float64
	}{{"Norris", 1, 13.4}, {"Longley", 6, 13.5}} {
		data := columns(t, "regression/"+set.name+".csv")
		var m design.Model
		for j := 1; j <= set.predictors; j++ {
			name := fmt.Sprintf("x%d", j)
			if set.predictors == 1 {
				name = "x"
			}
			m.Variables = append(m.Variables, number(name, numbers(t, data[name])))
			m.Terms = append(m.Terms, term(j-1))
		}
		f := solve(t, numbers(t, data["y"]), m)
		got := map[string]float64{
			"estimate B0": f.AtZero, "sd_of_estimate B0": f.AtZeroSE, "residual_sd ": f.Sigma,
			"r_squared ":    f.Explained,
			"df regression": f.FDF1, "df residual": f.FDF2, "ss residual": f.RSS, "ms residual": f.RSS / f.DF,
			"ss regression": f.TSS - f.RSS, "ms regression": (f.TSS - f.RSS) / f.FDF1, "f_statistic regression": f.F,
		}
		for j, c := range f.Coefficients[1:] {
			got[fmt.Sprintf("estimate B%d", j+1)], got[fmt.Sprintf("sd_of_estimate B%d", j+1)] = c.Estimate, c.SE
		}
		var figures []figure
		for i, dataset := range certified["dataset"] {
			if dataset != set.name {
				continue
			}
			name := certified["quantity"][i] + " " + certified["term"][i]
			value, ok := got[name]
			if !ok {
				t.Fatalf("no figure for %q", name)
			}
			figures = append(figures, figure{name, value, numbers(t, certified["value"][i:i+1])[0]})
		}
		if len(figures) < 13 {
			t.Fatalf("%s: only %d certified values", set.name, len(figures))
		}
		atLeast(t, set.name, set.asked, figures)
	}
}

// oneWay is the one-way analysis of the responses as float64 holds them, in 400 bits.
func oneWay(y []float64, codes []int, levels int) (between, within float64) {
	long := func(x float64) *big.Float { return new(big.Float).SetPrec(400).SetFloat64(x) }
	sums, counts := make([]*big.Float, levels), make([]float64, levels)
	for l := range sums {
		sums[l] = long(0)
	}
	total := long(0)
	for i, l := range codes {
		sums[l].Add(sums[l], long(y[i]))
		total.Add(total, long(y[i]))
		counts[l]++
	}
	mean := total.Quo(total, long(float64(len(y))))
	ssb, ssw := long(0), long(0)
	for l := range sums {
		sums[l].Quo(sums[l], long(counts[l]))
		d := long(0).Sub(sums[l], mean)
		ssb.Add(ssb, d.Mul(d, d).Mul(d, long(counts[l])))
	}
	for i, l := range codes {
		d := long(0).Sub(long(y[i]), sums[l])
		ssw.Add(ssw, d.Mul(d, d))
	}
	between, _ = ssb.Float64()
	within, _ = ssw.Float64()
	return between, within
}

// The decimal responses lose digits when float64 takes them in, so two things are asked:
// F within half a digit of its ceiling against the certified one (SOURCE.md has the
// ceilings), and every figure to 15 digits against 400-bit sums of the float64 responses.
func TestNISTOneWay(t *testing.T) {
	certified := columns(t, "anova/certified.csv")
	ceiling := map[string]float64{
		"AtmWtAg": 10.2, "SiRstv": 13.1, "SmLs01": 15.9, "SmLs02": 15.9, "SmLs03": 15.9, "SmLs04": 10.4,
		"SmLs05": 10.2, "SmLs06": 10.2, "SmLs07": 4.4, "SmLs08": 4.2, "SmLs09": 4.2,
	}
	if len(certified["dataset"]) != 11 {
		t.Fatalf("%d sets", len(certified["dataset"]))
	}
	for i, set := range certified["dataset"] {
		data := columns(t, "anova/"+set+".csv")
		treatment := category("treatment", data["treatment"])
		y := numbers(t, data["response"])
		between, within := oneWay(y, treatment.Codes, len(treatment.Levels))
		f := solve(t, y, design.Model{Variables: []design.Variable{treatment}, Terms: []design.Term{term(0)}})
		for _, a := range []Adjustment{Marginal, Sequential, EachLast} {
			table := anova(t, f, a)
			s := table.Sources[0]
			of := func(name string) float64 { return numbers(t, certified[name][i:i+1])[0] }
			atLeast(t, set, ceiling[set]-0.5, []figure{
				{"F", s.F, of("f_statistic")}, {"df between", s.DF, of("df_between")},
				{"df within", table.ResidualDF, of("df_within")}})
			atLeast(t, set+" held", 15.3, []figure{
				{"F", s.F, between / s.DF / (within / table.ResidualDF)},
				{"ss between", s.SS, between}, {"ss within", table.ResidualSS, within},
				{"total", table.TotalSS, between + within},
				{"ms between", s.MS, between / s.DF}, {"ms within", table.ResidualMS, within / table.ResidualDF},
				{"share", s.Share, between / (between + within)},
				{"explained", f.Explained, between / (between + within)},
				{"sd", f.Sigma, math.Sqrt(within / table.ResidualDF)},
			})
			// The certified sums of squares, as near as the responses held allow.
			for _, g := range []struct{ got, held, certified float64 }{
				{s.SS, between, of("ss_between")}, {table.ResidualSS, within, of("ss_within")},
				{f.Explained, between / (between + within), of("r_squared")},
			} {
				if have, most := digits(g.got, g.certified), digits(g.held, g.certified); have < most-0.5 {
					t.Errorf("%s: %g against certified %g: %.2f digits of %.2f", set, g.got, g.certified, have, most)
				}
			}
			if !table.AddsUp {
				t.Errorf("%s: a one-way table does not add up", set)
			}
		}
	}
}
