package planning

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// keptLines are the rows of a kept table.
func keptLines(t *testing.T, part string) []string {
	t.Helper()
	b, err := os.ReadFile("../../../testdata/measured/planning_" + part + ".txt")
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(b), "\n")
}

// held compares a row made anew, of few series, with the kept one of 10,000: what the plan tells is the same, what
// was counted within three and a half standard errors.
func held(t *testing.T, kept []string, now string, series float64) {
	t.Helper()
	words := strings.Fields(now)
	head := strings.Join(words[:len(words)-2], " ")
	for _, line := range kept {
		old := strings.Fields(line)
		if len(old) != len(words) || strings.Join(old[:len(old)-2], " ") != head {
			continue
		}
		var was, is float64
		if _, err := fmt.Sscan(old[len(old)-2], &was); err != nil {
			t.Fatal(err)
		}
		if _, err := fmt.Sscan(words[len(words)-2], &is); err != nil {
			t.Fatal(err)
		}
		if math.Abs(was-is) > 3.5*math.Sqrt(was*(1-was)/series) {
			t.Errorf("kept %s\nnow  %s", line, now)
		}
		return
	}
	t.Errorf("the kept table has no row that tells as much as\n%s", now)
}

// counts begins a test that counts over many series. Under -short, where the race detector looks on, nothing is
// counted.
func counts(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a count over many series, made without -short")
	}
}

func TestKeptCost(t *testing.T) {
	counts(t)
	kept := keptLines(t, "cost")
	for _, i := range []int{0, 2, 5, 7} {
		now, err := costLine(context.Background(), i, 400, 1)
		if err != nil {
			t.Fatal(err)
		}
		held(t, kept, now, 400)
	}
}

func TestKeptOdds(t *testing.T) {
	counts(t)
	now, err := oddsLine(context.Background(), 0, 400, 1)
	if err != nil {
		t.Fatal(err)
	}
	held(t, keptLines(t, "odds"), now, 400)
}

func TestKeptUntil(t *testing.T) {
	counts(t)
	now, err := untilLine(context.Background(), 0, 400, 1)
	if err != nil {
		t.Fatal(err)
	}
	held(t, keptLines(t, "until"), now, 400)
}

// The chances told are those kept, and those counted of few series are within three and a half standard errors of
// the kept ones.
func TestKeptGiven(t *testing.T) {
	counts(t)
	kept := keptLines(t, "given")
	figures := func(line string) (chances, counted []float64) {
		words := strings.Fields(strings.ReplaceAll(line[50:], "/", " "))
		for i, w := range words {
			var x float64
			if _, err := fmt.Sscan(w, &x); err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			if i%2 == 0 {
				chances = append(chances, x)
			} else {
				counted = append(counted, x)
			}
		}
		return chances, counted
	}
	for i := range givenCases {
		now, err := givenLine(context.Background(), i, 2, 400, 1)
		if err != nil {
			t.Fatal(err)
		}
		at := -1
		for k, line := range kept {
			if strings.HasPrefix(line, now[:50]) {
				at = k
			}
		}
		if at < 0 {
			t.Fatalf("the kept table has no row %q", now[:50])
		}
		chances, counted := figures(now)
		was, wasCounted := figures(kept[at])
		for f := range chances {
			if chances[f] != was[f] {
				t.Errorf("kept %s\nnow  %s", kept[at], now)
				break
			}
			if p := wasCounted[f] / 100; f < 3 && math.Abs(counted[f]/100-p) > 3.5*math.Sqrt(p*(1-p)/400) {
				t.Errorf("kept %s\nnow  %s", kept[at], now)
			}
		}
	}
}
