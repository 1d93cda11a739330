package main

import (
	"bytes"
	"math"
	"runtime"
	"strings"
	"testing"
)

// The figures hang on the seed and not on the number of cores.
func TestCoverageIsTheSameOnOneCore(t *testing.T) {
	runs := "120"
	if testing.Short() {
		runs = "12"
	}
	run := func(cores int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		var out, errs bytes.Buffer
		if status := dispatch(t.Context(), []string{"coverage", "--runs", runs}, &out, &errs); status != 0 {
			t.Fatalf("status %d: %s", status, &errs)
		}
		return out.String()
	}
	one := run(1)
	if two := run(2); one != two {
		t.Errorf("on one core\n%s\non two\n%s", one, two)
	}
	for _, what := range []string{"Welch, two levels", "HC2", "all pairs, family", "against one, family", "blocked"} {
		if !strings.Contains(one, what) {
			t.Errorf("%s is not measured", what)
		}
	}
}

func TestDigitsOfProblems(t *testing.T) {
	problems, err := allProblems("../../testdata/published/nist")
	if err != nil || len(problems) != 19 {
		t.Fatalf("%d problems (%v)", len(problems), err)
	}
	asked := map[string]float64{"Norris": 13.4, "Longley": 13.5, "Wampler1": 13, "Wampler2": 13, "Wampler3": 13,
		"Wampler4": 13, "Wampler5": 13,
		"SiRstv": 12.6, "SmLs01": 15.4, "SmLs02": 15.4, "SmLs03": 15.4, "SmLs09": 3.7}
	for _, p := range problems {
		got, err := p.solve(t.Context())
		if err != nil {
			t.Fatalf("%s: %v", p.Name, err)
		}
		if p.Exact {
			continue
		}
		if d := leastDigits(got[:len(p.want)], p.want); d < asked[p.Name] {
			t.Errorf("%s: %.2f digits of %.1f", p.Name, d, asked[p.Name])
		}
	}
	if d := leastDigits([]float64{1.001, 2}, []float64{1, 2}); math.Abs(d-3) > 1e-6 {
		t.Errorf("three digits are %g", d)
	}
}
