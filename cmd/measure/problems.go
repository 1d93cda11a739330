package main

import (
	"encoding/csv"
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"strconv"
)

// problem is a least-squares problem with numbers as they are written.
type problem struct {
	Name    string     `json:"name"`
	Columns [][]string `json:"columns"` // without the constant; of a polynomial every power
	Y       []string   `json:"y"`
	OneWay  bool       `json:"one_way"`
	Exact   bool       `json:"exact"` // the answer is worked out in fractions, for none is published

	powers bool      // the columns are the powers of the first
	want   []float64 // coefficients, then standard deviations (left out where they are 0), or F
}

// allProblems are the published sets, then those that NIST defines by formula, then a
// polynomial of degree 10.
func allProblems(folder string) ([]problem, error) {
	certified, err := readColumns(filepath.Join(folder, "regression", "certified.csv"))
	if err != nil {
		return nil, err
	}
	var out []problem
	for _, set := range []struct {
		name    string
		columns []string
	}{{"Norris", []string{"x"}}, {"Longley", []string{"x1", "x2", "x3", "x4", "x5", "x6"}}} {
		data, err := readColumns(filepath.Join(folder, "regression", set.name+".csv"))
		if err != nil {
			return nil, err
		}
		p := problem{Name: set.name, Y: data["y"], want: make([]float64, 2*len(set.columns)+2)}
		for _, c := range set.columns {
			p.Columns = append(p.Columns, data[c])
		}
		for i, dataset := range certified["dataset"] {
			at := map[string]int{"estimate": 0, "sd_of_estimate": len(set.columns) + 1}
			from, ok := at[certified["quantity"][i]]
			if dataset != set.name || !ok {
				continue
			}
			j, err := strconv.Atoi(certified["term"][i][1:])
			if err == nil {
				p.want[from+j], err = strconv.ParseFloat(certified["value"][i], 64)
			}
			if err != nil {
				return nil, err
			}
		}
		out = append(out, p)
	}
	out = append(out, wamplers()...)
	out = append(out, degreeTen())
	oneWay, err := oneWayProblems(folder)
	return append(out, oneWay...), err
}

// disturbance is what NIST adds to Wampler's polynomial, times 1, 100 and 10,000: from
// memory, checked in the tests of models/linear to be orthogonal to every polynomial of
// degree 5 on 0 … 20, as it has to be.
var disturbance = []int64{759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048,
	-2048, 1838, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 759}

// wamplers are Wampler's (1970) five polynomials of degree 5 on 0 … 20. Coefficients follow
// from the formula; the standard deviations are NIST's certified ones, from memory.
func wamplers() []problem {
	sds := []float64{2152.32624678170, 2363.55173469681, 779.343524331583, 101.475507550350, 5.64566512170752,
		0.112324854679312}
	var out []problem
	for i, disturb := range []int64{0, 0, 1, 100, 10000} {
		p := problem{Name: fmt.Sprintf("Wampler%d", i+1), powers: true, Columns: make([][]string, 5),
			want: []float64{1, 1, 1, 1, 1, 1}}
		tenths := i == 1
		if tenths {
			p.want = []float64{1, 0.1, 0.01, 0.001, 0.0001, 0.00001}
		}
		for x := range int64(21) {
			sum, power := int64(0), int64(1)
			for k := range 6 {
				if k > 0 {
					power *= x
					p.Columns[k-1] = append(p.Columns[k-1], strconv.FormatInt(power, 10))
				}
				if tenths { // in hundred-thousandths
					sum = 10*sum + power
				} else {
					sum += power
				}
			}
			word := strconv.FormatInt(sum+disturb*disturbance[x], 10)
			if tenths {
				word = fmt.Sprintf("%d.%05d", sum/100000, sum%100000)
			}
			p.Y = append(p.Y, word)
		}
		for _, sd := range sds {
			if disturb > 0 {
				p.want = append(p.want, sd*float64(disturb))
			}
		}
		out = append(out, p)
	}
	return out
}

// degreeTen is a polynomial of degree 10 on decimals near −9 to −3, a parabola with a
// ripple: powers written out exactly.
func degreeTen() problem {
	p := problem{Name: "degree 10", Exact: true, powers: true, Columns: make([][]string, 10)}
	for i := range 82 {
		x, _ := new(big.Rat).SetString(fmt.Sprintf("-%.9f", 8.781464495-0.0698*float64(i)-0.001*float64(i*i%7)))
		power := new(big.Rat).SetInt64(1)
		for k := range 10 {
			power.Mul(power, x)
			p.Columns[k] = append(p.Columns[k], power.FloatString(9*(k+1)))
		}
		p.Y = append(p.Y, fmt.Sprintf("%.4f", 0.8+0.12*float64((i*i)%11-5)/10-0.0001*float64((i-40)*(i-40))))
	}
	return p
}

// oneWayProblems are NIST's eleven one-way sets.
func oneWayProblems(folder string) ([]problem, error) {
	certified, err := readColumns(filepath.Join(folder, "anova", "certified.csv"))
	if err != nil {
		return nil, err
	}
	var out []problem
	for i, name := range certified["dataset"] {
		data, err := readColumns(filepath.Join(folder, "anova", name+".csv"))
		if err != nil {
			return nil, err
		}
		f, err := strconv.ParseFloat(certified["f_statistic"][i], 64)
		if err != nil {
			return nil, err
		}
		out = append(out, problem{Name: name, Columns: [][]string{data["treatment"]}, Y: data["response"], OneWay: true,
			want: []float64{f}})
	}
	return out, nil
}

// readColumns reads a CSV into its columns by name.
func readColumns(path string) (map[string][]string, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, err
	}
	named := map[string][]string{}
	for _, row := range rows[1:] {
		for j, name := range rows[0] {
			named[name] = append(named[name], row[j])
		}
	}
	return named, nil
}
