package vectors

import (
	"errors"
	"math"
	"slices"
	"testing"

	"breakbook/frames"
	"breakbook/frames/units"
)

func TestTwiceATemperatureIsNoColumn(t *testing.T) {
	f := opened(t, "cure temp (degC)\n20\n10\n")
	v, _ := Of(t.Context(), f, "cure_temp")
	sum, err := Add(v, v)
	if err != nil {
		t.Fatal(err)
	}
	var e *frames.Error
	if _, _, err := Added(t.Context(), f, "x", "x", sum); !errors.As(err, &e) || e.Code != "mixed-temperatures" {
		t.Errorf("twice a temperature gives %v", err)
	}
}

func TestMissingStaysMissingAndTheImpossibleIsCounted(t *testing.T) {
	f := opened(t, "load (N),grip\n100,1\n,2\n0,0\n-5,\n30,0\n")
	load, _ := Of(t.Context(), f, "load")
	grip, _ := Of(t.Context(), f, "grip")
	logs, err := Apply("ln", load)
	if err != nil {
		t.Fatal(err)
	}
	ratio, err := Divide(logs, grip)
	if err != nil {
		t.Fatal(err)
	}
	next, odd, err := Added(t.Context(), f, "ratio", "ratio", ratio)
	if err != nil {
		t.Fatal(err)
	}
	got, _ := next.Numbers("ratio")
	want := []float64{math.Log(100), math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	for i := range want {
		if !near(got[i], want[i]) {
			t.Errorf("row %d: %v, want %v", i+1, got[i], want[i])
		}
	}
	if !slices.Equal(odd, []Impossible{{NotAboveZero, 2, 2}, {DividedByZero, 1, 4}}) {
		t.Errorf("impossible: %v", odd)
	}
	missing, _ := next.MissingIn("ratio")
	if !slices.Equal(rows(missing), []int{2, 3, 4, 5}) {
		t.Errorf("missing are rows %v", rows(missing))
	}
	// What is impossible only where it is not chosen is no matter.
	known, _ := f.Compare("load", ">", 0, units.Unit{})
	not, _ := f.Compare("load", "<=", 0, units.Unit{})
	safe, err := Choose(known, not, logs, Amount(0, units.Unit{}))
	if err != nil {
		t.Fatal(err)
	}
	if next, odd, err = Added(t.Context(), f, "safe", "safe", safe); err != nil || odd != nil {
		t.Errorf("%v, %v", odd, err)
	}
	if missing, _ := next.MissingIn("safe"); !slices.Equal(rows(missing), []int{2}) {
		t.Errorf("the condition cannot be told in row 2 alone; missing are %v", rows(missing))
	}
	if _, _, err := Added(t.Context(), next, "load", "load", safe); err == nil {
		t.Error("a column was written over")
	}
}

func TestDifferencesOfTemperaturesConvertWithoutAShift(t *testing.T) {
	f := opened(t, "cure temp (degC)\n20\n10\n")
	v, _ := Of(t.Context(), f, "cure_temp")
	over, err := Subtract(v, Amount(13, unit(t, "degC")))
	if err != nil {
		t.Fatal(err)
	}
	f, _, err = Added(t.Context(), f, "over", "over", over)
	if err != nil {
		t.Fatal(err)
	}
	if m, err := f.IsNumber("over", []float64{12.6}, unit(t, "degF")); err != nil || !slices.Equal(rows(m), []int{1}) {
		t.Errorf("7 degC over is 12.6 degF over: rows %v, %v", rows(m), err)
	}
	if f, err = f.Convert(t.Context(), "over", unit(t, "degF")); err != nil {
		t.Fatal(err)
	}
	got, _ := f.Numbers("over")
	if !near(got[0], 12.6) || !near(got[1], -5.4) {
		t.Errorf("over is %v degF, want 12.6 and -5.4", got)
	}
	if f, err = f.Convert(t.Context(), "cure_temp", unit(t, "degF")); err != nil {
		t.Fatal(err)
	}
	got, _ = f.Numbers("cure_temp")
	if got[0] != 68 || got[1] != 50 {
		t.Errorf("cured at %v degF, want 68 and 50", got)
	}
}
