package linear

import (
	"fmt"
	"math/big"
	"testing"

	"breakbook/models/design"
)

// bigPolynomial fits y on 1, x, …, x^degree by the normal equations in 2000 bits: the
// coefficients of the powers themselves and their standard errors.
func bigPolynomial(x, y []*big.Float, degree int) (b, se []float64) {
	long := func(v float64) *big.Float { return new(big.Float).SetPrec(2000).SetFloat64(v) }
	p := degree + 1
	rows := make([][]*big.Float, len(x))
	for i := range x {
		rows[i] = []*big.Float{long(1)}
		for k := 1; k < p; k++ {
			rows[i] = append(rows[i], long(0).Mul(rows[i][k-1], x[i]))
		}
	}
	// [XᵀX | Xᵀy I], reduced by Gauss and Jordan.
	m := make([][]*big.Float, p)
	for j := range m {
		m[j] = make([]*big.Float, 2*p+1)
		for k := range m[j] {
			m[j][k] = long(0)
		}
		for i, row := range rows {
			for k := range p {
				m[j][k].Add(m[j][k], long(0).Mul(row[j], row[k]))
			}
			m[j][p].Add(m[j][p], long(0).Mul(row[j], y[i]))
		}
		m[j][p+1+j] = long(1)
	}
	for j := range m {
		pivot := long(0).Set(m[j][j])
		for k := range m[j] {
			m[j][k].Quo(m[j][k], pivot)
		}
		for i := range m {
			if i == j {
				continue
			}
			factor := long(0).Set(m[i][j])
			for k := range m[i] {
				m[i][k].Sub(m[i][k], long(0).Mul(factor, m[j][k]))
			}
		}
	}
	rss := long(0)
	for i, row := range rows {
		e := long(0).Set(y[i])
		for k := range p {
			e.Sub(e, long(0).Mul(row[k], m[k][p]))
		}
		rss.Add(rss, e.Mul(e, e))
	}
	variance := rss.Quo(rss, long(float64(len(x)-p)))
	for j := range p {
		value, _ := m[j][p].Float64()
		spread := long(0).Mul(variance, m[j][p+1+j])
		root, _ := spread.Sqrt(spread).Float64()
		b, se = append(b, value), append(se, root)
	}
	return b, se
}

// held are float64 numbers as they are, in 2000 bits.
func held(x []float64) []*big.Float {
	long := make([]*big.Float, len(x))
	for i, v := range x {
		long[i] = new(big.Float).SetPrec(2000).SetFloat64(v)
	}
	return long
}

// polynomialFigures sets a fit's coefficients of the powers against b and se (nil: not looked at).
// With the powers as terms the coefficients are those of x, x², … themselves.
func polynomialFigures(f *Fit, b, se []float64) []figure {
	figures := []figure{{"B0", f.AtZero, b[0]}}
	if se != nil {
		figures = append(figures, figure{"sd of B0", f.AtZeroSE, se[0]})
	}
	for k, c := range f.Coefficients[1:] {
		figures = append(figures, figure{fmt.Sprintf("B%d", k+1), c.Estimate, b[k+1]})
		if se != nil {
			figures = append(figures, figure{fmt.Sprintf("sd of B%d", k+1), c.SE, se[k+1]})
		}
	}
	return figures
}

// disturbance is what NIST adds to Wampler's polynomial, times 1, 100 and 10,000 for
// Wampler3, 4 and 5. From memory; that it is orthogonal to every polynomial of
// degree 5 on 0 … 20, as it has to be, is checked below in whole numbers.
var disturbance = []int64{759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048,
	-2048, 1838, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 759}

func TestDisturbanceIsOrthogonal(t *testing.T) {
	for k := range 6 {
		sum := int64(0)
		for x, d := range disturbance {
			power := int64(1)
			for range k {
				power *= int64(x)
			}
			sum += d * power
		}
		if sum != 0 {
			t.Errorf("against x^%d: %d", k, sum)
		}
	}
}

// Wampler (1970), J. Amer. Statist. Assoc. 65: polynomials of degree 5 on 0 … 20, as NIST's
// Wampler1 to 5. Coefficients follow from the formula. The residual sd 2360.14502379268
// of Wampler3 and the standard deviations are NIST's certified values, from memory; 4 and
// 5 have 100 and 10,000 times these.
func TestWampler(t *testing.T) {
	sds := []float64{2152.32624678170, 2363.55173469681, 779.343524331583, 101.475507550350, 5.64566512170752,
		0.112324854679312}
	for _, set := range []struct {
		name    string
		tenths  bool
		disturb float64
	}{{"Wampler1", false, 0}, {"Wampler2", true, 0}, {"Wampler3", false, 1}, {"Wampler4", false, 100},
		{"Wampler5", false, 10000}} {
		var x, y, b, se []float64
		for k := range 6 {
			b = append(b, 1)
			if set.tenths {
				b[k] = []float64{1, 0.1, 0.01, 0.001, 0.0001, 0.00001}[k]
			}
			se = append(se, sds[k]*set.disturb)
		}
		for i := range 21 {
			v, sum, power := int64(i), int64(0), int64(1)
			for range 6 {
				if set.tenths { // in hundred-thousandths
					sum = sum*10 + power
				} else {
					sum += power
				}
				power *= v
			}
			x = append(x, float64(i))
			if set.tenths {
				y = append(y, float64(sum)/1e5)
			} else {
				y = append(y, float64(sum)+set.disturb*float64(disturbance[i]))
			}
		}
		f := solve(t, y, design.Model{Variables: []design.Variable{number("x", x)}, Terms: powers(5)})
		figures := append(polynomialFigures(f, b, nil), figure{"residual sd", f.Sigma, 2360.14502379268 * set.disturb})
		if set.disturb > 0 {
			figures = append(polynomialFigures(f, b, se), figures[len(figures)-1])
		}
		atLeast(t, set.name, 13, figures)
		if set.name == "Wampler1" && (f.RSS != 0 || f.Explained != 1) {
			t.Errorf("an exact polynomial leaves %g", f.RSS)
		}
	}
}

// A polynomial of degree 10 on decimals between −9 and −3, as in Filippelli's problem (the
// response here is a parabola with a ripple). Columns scaled, its condition
// is about 1e10: against the decimals as written a float64 program can keep
// 7.5 digits; against the numbers as float64 holds them nothing need be lost.
func TestDegreeTen(t *testing.T) {
	var x, y []float64
	var writtenX, writtenY []*big.Float
	for i := range 82 {
		wordX := fmt.Sprintf("-%.9f", 8.781464495-0.0698*float64(i)-0.001*float64(i*i%7))
		wordY := fmt.Sprintf("%.4f", 0.8+0.12*float64((i*i)%11-5)/10-0.0001*float64((i-40)*(i-40)))
		for word, at := range map[string]struct {
			held    *[]float64
			written *[]*big.Float
		}{wordX: {&x, &writtenX}, wordY: {&y, &writtenY}} {
			long, _, err := big.ParseFloat(word, 10, 2000, big.ToNearestEven)
			if err != nil {
				t.Fatal(err)
			}
			v, _ := long.Float64()
			*at.held, *at.written = append(*at.held, v), append(*at.written, long)
		}
	}
	f := solve(t, y, design.Model{Variables: []design.Variable{number("x", x)}, Terms: powers(10)})
	b, se := bigPolynomial(writtenX, writtenY, 10)
	atLeast(t, "as written", 7.5, polynomialFigures(f, b, se))
	b, se = bigPolynomial(held(x), held(y), 10)
	atLeast(t, "as held", 14.5, polynomialFigures(f, b, se))
}
