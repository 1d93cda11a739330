package main

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// reference is testdata/reference/fits.json, made by the script beside it.
type reference struct {
	Versions map[string]string
	Cases    []referenceCase
}

// referenceCase is a series, what is typed, and what must come out: entry, path, value
// (null: none), relative tolerance, and the size the tolerance is at least taken of.
type referenceCase struct {
	Kind     string
	CSV      string
	Commands []string
	Holds    [][5]any
	Zero     int      // specimens of weight 0
	Dropped  []string // blocks whose variance is zero
	Down     int      `json:"played_down"`
}

// TestFits types the commands of every random series of testdata/reference/fits.json and
// holds what the program answers to the answers of the libraries the script names.
func TestFits(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/reference/fits.json")
	if err != nil {
		t.Fatal(err)
	}
	var file reference
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cases) < 150 {
		t.Fatalf("%d cases", len(file.Cases))
	}
	if testing.Short() {
		t.Skip("digits of many series, compared without -short")
	}
	var mutex sync.Mutex
	checked, worst := map[string]int{}, map[string]float64{}
	t.Run("series", func(t *testing.T) {
		for i, c := range file.Cases {
			t.Run(c.Kind+" "+strconv.Itoa(i), func(t *testing.T) {
				t.Parallel()
				n, off := c.check(t)
				mutex.Lock()
				defer mutex.Unlock()
				checked[c.Kind] += n
				worst[c.Kind] = max(worst[c.Kind], off)
			})
		}
	})
	for _, kind := range []string{"weighted", "uneven", "resistant", "blocked"} {
		if checked[kind] < 500 {
			t.Errorf("%s: only %d figures", kind, checked[kind])
		}
		t.Logf("%s: %d figures, furthest off %.1e of their size", kind, checked[kind], worst[kind])
	}
}

// check runs one case; it returns how many figures it held and how far the furthest was off.
func (c referenceCase) check(t *testing.T) (figures int, worst float64) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "s.csv"), []byte(c.CSV), 0o666); err != nil {
		t.Fatal(err)
	}
	run := exec.Command("breakbook", "--json", "type", strings.Join(c.Commands, "; "))
	run.Dir = folder
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%q: %v\n%s", c.Commands, err, out)
	}
	entries, err := read(string(out))
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range c.Holds {
		path := h[1].(string)
		got, err := find(map[string]any(entries[int(h[0].(float64))-1]), strings.Split(path, "/"))
		if err != nil {
			t.Errorf("%q: %v", c.Commands[1], err)
			continue
		}
		figures++
		if h[2] == nil {
			if got != nil {
				t.Errorf("%q: %s is %v, want none", c.Commands[1], path, got)
			}
			continue
		}
		number, ok := got.(float64)
		if !ok {
			t.Errorf("%q: %s is %v, want %v", c.Commands[1], path, got, h[2])
			continue
		}
		want, tolerance := h[2].(float64), h[3].(float64)
		off := math.Abs(number - want)
		if size := math.Max(math.Abs(want), h[4].(float64)); size > 0 {
			off /= size
		}
		worst = math.Max(worst, off)
		if off > tolerance {
			t.Errorf("%q: entry %v, %s is %.12g, want %.12g: off by %.1e, not %.1e", c.Commands[1], h[0], path, number,
				want, off, tolerance)
		}
	}
	c.checkWords(t, entries)
	return figures, worst
}

// checkWords looks for what has to be said beside the figures.
func (c referenceCase) checkWords(t *testing.T, entries []object) {
	said := func(list, words string) bool {
		all, _ := entries[1][list].([]any)
		for _, s := range all {
			if strings.Contains(s.(string), words) {
				return true
			}
		}
		return false
	}
	if got := said("cautions", "the w 0 and"); got != (c.Zero > 0) {
		t.Errorf("%d specimens of weight 0, said: %v", c.Zero, got)
	}
	for _, name := range c.Dropped {
		if !said("findings", "No difference from one "+name+" to the next could be seen") {
			t.Errorf("%q: nothing said of the variance of %s, which is zero", c.Commands[1], name)
		}
	}
	if c.Kind == "resistant" {
		rows, err := find(map[string]any(entries[1]), []string{"tables", "played_down", "rows"})
		if list, ok := rows.([]any); err != nil || !ok || len(list) != c.Down {
			t.Errorf("%q: played down %v (%v), want %d", c.Commands[1], rows, err, c.Down)
		}
	}
}
