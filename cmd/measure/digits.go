package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os/exec"
	"path/filepath"
	"strconv"

	"breakbook/models/design"
	"breakbook/models/linear"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/spf13/pflag"
)

// compared is what the general-purpose libraries answered, in the order of the problems.
type compared struct {
	Versions string
	Answers  []struct {
		NumPy       []float64 `json:"numpy"`
		Statsmodels []float64 `json:"statsmodels"`
		Exact       []float64 `json:"exact"`
	}
}

// digits prints how many digits of the published reference answers breakbook and two
// general-purpose libraries in float64 get right on the same data.
func digits(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("digits", pflag.ContinueOnError)
	data := flags.String("data", "testdata", "the testdata folder")
	python := flags.String("python", "/usr/bin/python3", "a Python with numpy and statsmodels")
	if err := flags.Parse(args); err != nil {
		return err
	}
	problems, err := allProblems(filepath.Join(*data, "published", "nist"))
	if err != nil {
		return err
	}
	others, err := askPython(ctx, *python, filepath.Join(*data, "reference", "digits.py"), problems)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Correct digits at worst: of coefficients and of their standard deviations, or of F (%s):\n",
		others.Versions)
	w := plainTable("data", "breakbook", "numpy lstsq", "statsmodels OLS")
	for i, p := range problems {
		if p.Exact {
			p.want = others.Answers[i].Exact
		}
		own, err := p.solve(ctx)
		if err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
		w.AppendRow(table.Row{p.Name, p.worst(own), p.worst(others.Answers[i].NumPy),
			p.worst(others.Answers[i].Statsmodels)})
	}
	fmt.Fprintln(out, w.Render())
	return nil
}

// askPython hands the problems to the script.
func askPython(ctx context.Context, python, script string, problems []problem) (*compared, error) {
	question, err := json.Marshal(problems)
	if err != nil {
		return nil, err
	}
	var answer, errs bytes.Buffer
	run := exec.CommandContext(ctx, python, script)
	run.Stdin, run.Stdout, run.Stderr = bytes.NewReader(question), &answer, &errs
	if err := run.Run(); err != nil {
		return nil, fmt.Errorf("%s %s: %w\n%s", python, script, err, &errs)
	}
	var c compared
	if err := json.Unmarshal(answer.Bytes(), &c); err != nil {
		return nil, err
	}
	if len(c.Answers) != len(problems) {
		return nil, fmt.Errorf("%d answers to %d problems", len(c.Answers), len(problems))
	}
	return &c, nil
}

// solve is the coefficients and then their standard deviations, or F alone.
func (p problem) solve(ctx context.Context) ([]float64, error) {
	y, err := floats(p.Y)
	if err != nil {
		return nil, err
	}
	m, err := p.model()
	if err != nil {
		return nil, err
	}
	f, err := linear.Solve(ctx, y, m)
	if err != nil {
		return nil, err
	}
	if p.OneWay {
		return []float64{f.F}, nil
	}
	b, se := []float64{f.AtZero}, []float64{f.AtZeroSE}
	for _, c := range f.Coefficients[1:] {
		b, se = append(b, c.Estimate), append(se, c.SE)
	}
	return append(b, se...), nil
}

// model has the columns as number variables, the powers of one, or the groups.
func (p problem) model() (design.Model, error) {
	var m design.Model
	if p.OneWay {
		v, at := design.Variable{}, map[string]int{}
		for _, word := range p.Columns[0] {
			if _, known := at[word]; !known {
				at[word] = len(v.Levels)
				v.Levels = append(v.Levels, word)
			}
			v.Codes = append(v.Codes, at[word])
		}
		return design.Model{Variables: []design.Variable{v}, Terms: []design.Term{{Factors: []design.Factor{{}}}}}, nil
	}
	for i, column := range p.Columns {
		if p.powers && i > 0 {
			m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{{Function: design.PowerOf,
				Power: float64(i + 1)}}})
			continue
		}
		x, err := floats(column)
		if err != nil {
			return m, err
		}
		m.Variables = append(m.Variables, design.Variable{Numbers: x})
		m.Terms = append(m.Terms, design.Term{Factors: []design.Factor{{Variable: i}}})
	}
	return m, nil
}

// worst is the fewest correct digits of the coefficients and of the standard deviations.
func (p problem) worst(got []float64) string {
	if p.OneWay {
		return fmt.Sprintf("%.1f", leastDigits(got, p.want))
	}
	k := len(p.Columns) + 1
	b := leastDigits(got[:k], p.want[:k])
	if len(p.want) == k {
		return fmt.Sprintf("%.1f", b)
	}
	return fmt.Sprintf("%.1f and %.1f", b, leastDigits(got[k:], p.want[k:]))
}

// leastDigits is −log₁₀ of the largest relative error, between 0 and 16.
func leastDigits(got, want []float64) float64 {
	least := 16.0
	for i, w := range want {
		d := -math.Log10(math.Abs(got[i]-w) / math.Abs(w))
		if math.IsNaN(got[i]) {
			d = 0
		}
		least = math.Min(least, d)
	}
	return math.Max(0, least)
}

func floats(words []string) ([]float64, error) {
	out := make([]float64, len(words))
	for i, word := range words {
		var err error
		if out[i], err = strconv.ParseFloat(word, 64); err != nil {
			return nil, err
		}
	}
	return out, nil
}
