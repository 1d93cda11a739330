package gates

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"
)

func TestBell(t *testing.T) {
	s := newSource(5, 5)
	const n = 200000
	var sum, squares float64
	for range n {
		x := s.bell(10, 3)
		sum += x
		squares += (x - 10) * (x - 10)
	}
	// Five standard errors either way: sd/√n for the mean, sd/√(2n) for the sd.
	if mean := sum / n; math.Abs(mean-10) > 5*3/math.Sqrt(n) {
		t.Errorf("mean %v, want 10", mean)
	}
	if sd := math.Sqrt(squares / n); math.Abs(sd-3) > 5*3/math.Sqrt(2*n) {
		t.Errorf("sd %v, want 3", sd)
	}
}

// The smaller of two independent normal strengths of equal mean and sd falls short of
// that mean by sd/√π (textbook; the expected range of two, halved).
func TestExpectedIsTheWeakestPlace(t *testing.T) {
	truth := Known()
	truth.GlueInShed = truth.Wood
	want := truth.Wood - truth.PlaceSD/math.Sqrt(math.Pi)
	if got := truth.Expected(0, false); math.Abs(got-want) > 0.5 {
		t.Errorf("expected load %v, want %v", got, want)
	}
}

// With nothing between the joints but what they were given, the load is the sum of it.
func TestBreaksWithoutSpread(t *testing.T) {
	truth := Known()
	truth.JointSD, truth.PlaceSD = 0, 0
	truth.ThicknessAdd, truth.OakAdds, truth.DegreeAdds, truth.DayAdds = 3, 5, 2, [3]float64{0, 7, 11}
	for _, c := range []struct {
		joint   Joint
		board   float64
		load    float64
		failure string
	}{
		{Joint{Density: 640, Thickness: 34, Temp: 6.5}, 0, 262, "glue"},
		{Joint{Density: 640, Thickness: 34, Temp: 20.5, Store: true}, 0, 318, "wood"},
		{Joint{Density: 690, Thickness: 44, Temp: 7.5, Oak: true, Pins: 2, Day: 1}, -4,
			262 + 20 + 3 + 2 + 5 + 95 + 7 - 4, "glue"},
		{Joint{Density: 540, Thickness: 34, Temp: 6.5, Pins: 1, Day: 2}, 1, 262 - 40 + 38 + 11 + 1, "glue"},
	} {
		load, failure := truth.breaks(newSource(1, 1), c.joint, c.board)
		if math.Abs(load-c.load) > 1e-9 || failure != c.failure {
			t.Errorf("%+v: %v in %s, want %v in %s", c.joint, load, failure, c.load, c.failure)
		}
	}
	truth.Pin = 250
	if load, failure := truth.breaks(newSource(1, 1), Joint{Density: 640, Temp: 6.5, Pins: 1}, 0); failure != "pin" ||
		math.Abs(load-288) > 1e-9 {
		t.Errorf("weak pins: %v in %s, want 288 in pin", load, failure)
	}
}

func TestLayoutOfTheMainSeries(t *testing.T) {
	truth := Known()
	for seed := uint64(1); seed <= 20; seed++ {
		all := Make(truth, seed)
		if len(all.Gates) != 57 || all.Spoiled != 7 || all.NotWritten != 4 || len(all.Slip) != 12 {
			t.Fatalf("seed %d: %d broken, %d spoiled, %d unwritten, %d logged", seed,
				len(all.Gates), all.Spoiled, all.NotWritten, len(all.Slip))
		}
		// No joint of `none` was spoiled: each thickness met each place four times.
		meets := map[[2]any]int{}
		days := map[int]int{}
		for _, j := range all.Gates {
			days[j.Day]++
			if j.Pins == 0 {
				meets[[2]any{j.Thickness, j.Store}]++
			}
			if j.Load <= 0 {
				t.Errorf("seed %d: %s broke at %v", seed, j.Name, j.Load)
			}
		}
		for _, store := range []bool{false, true} {
			for _, mm := range []int{34, 44} {
				if n := meets[[2]any{mm, store}]; n != 4 {
					t.Errorf("seed %d: %d mm, store %v: %d joints without pins, want 4", seed, mm, store, n)
				}
			}
		}
		for day, n := range days {
			if n < 14 {
				t.Errorf("seed %d: day %d has only %d joints", seed, day, n)
			}
		}
	}
}

func TestSlipLogReachesTheBreakingLoad(t *testing.T) {
	all := Make(Known(), DemoSeed)
	broke := map[string]float64{}
	for _, row := range read(t, all, "gates.csv", ',')[1:] {
		if row[9] != "" {
			broke[row[0]] = number(t, row[9])
		}
	}
	most, last := map[string]float64{}, map[string]float64{}
	for _, row := range read(t, all, "gates_slip.csv", ',')[1:] {
		slip, load := number(t, row[1]), number(t, row[2])
		if before, seen := last[row[0]]; seen && slip <= before {
			t.Errorf("%s: slip %v after %v", row[0], slip, before)
		}
		last[row[0]] = slip
		most[row[0]] = max(most[row[0]], load)
	}
	if len(most) != 12 {
		t.Fatalf("%d logs, want 12", len(most))
	}
	for name, load := range most {
		if load != broke[name] {
			t.Errorf("%s: log reaches %v, written down as %v", name, load, broke[name])
		}
	}
}

func TestEarlierSeriesKeepTheirUnits(t *testing.T) {
	all := Make(Known(), DemoSeed)
	spring := read(t, all, "gates_spring.csv", ';')
	if len(spring) != 25 {
		t.Fatalf("spring has %d lines, want 25", len(spring))
	}
	unwritten, slipped := 0, 0
	for i, row := range spring[1:] {
		j := all.Spring[i]
		if f := number(t, strings.Replace(row[5], ",", ".", 1)); math.Abs((f-32)/1.8-j.Temp) > 0.03 {
			t.Errorf("%s: %v °F for %v °C", row[0], f, j.Temp)
		}
		if row[6] == "n/a" {
			unwritten++
			continue
		}
		n := number(t, strings.Replace(row[6], ",", ".", 1))
		if n > 15000 { // what one of these joints carried lies far from ten times that of another
			slipped++
			n /= 10
		}
		if math.Abs(n/9.80665-j.Load) > 0.06 {
			t.Errorf("%s: %v N for %v kgf", row[0], n, j.Load)
		}
	}
	if unwritten != 1 || slipped != 1 {
		t.Errorf("%d loads unwritten and %d slipped in spring, want one each", unwritten, slipped)
	}
	old := read(t, all, "gates_2019.csv", ',')
	if len(old) != 19 {
		t.Fatalf("2019 has %d lines, want 19", len(old))
	}
	for i, row := range old[1:] {
		// 1 kgf = 2.20462262185 lbf, 1 in = 25.4 mm by definition.
		if lbf := number(t, row[5]); math.Abs(lbf/2.20462262185-all.Old[i].Load) > 0.23 {
			t.Errorf("sample %s: %v lbf for %v kgf", row[0], lbf, all.Old[i].Load)
		}
		if mm := number(t, row[3]) * 25.4; math.Abs(mm-float64(all.Old[i].Thickness)) > 0.13 {
			t.Errorf("sample %s: %v mm for %v", row[0], mm, all.Old[i].Thickness)
		}
	}
}

func read(t *testing.T, all Series, name string, separator rune) [][]string {
	t.Helper()
	for _, f := range all.Data() {
		if f.Name == name {
			r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(f.Content, []byte("\ufeff"))))
			r.Comma = separator
			rows, err := r.ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			return rows
		}
	}
	t.Fatalf("no file %s", name)
	return nil
}

func number(t *testing.T, cell string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
