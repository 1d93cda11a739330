package frames_test

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
	v, _ := f.Vector(t.Context(), "cure_temp")
	sum, err := frames.Add(v, v)
	if err != nil {
		t.Fatal(err)
	}
	var e *frames.Error
	if _, _, err := f.WithVector(t.Context(), "x", "x", sum); !errors.As(err, &e) || e.Code != "mixed-temperatures" {
		t.Errorf("twice a temperature gives %v", err)
	}
}

func TestMissingStaysMissingAndTheImpossibleIsCounted(t *testing.T) {
	f := opened(t, "load (N),grip\n100,1\n,2\n0,0\n-5,\n30,0\n")
	load, _ := f.Vector(t.Context(), "load")
	grip, _ := f.Vector(t.Context(), "grip")
	logs, err := frames.Apply("ln", load)
	if err != nil {
		t.Fatal(err)
	}
	ratio, err := frames.Divide(logs, grip)
	if err != nil {
		t.Fatal(err)
	}
	next, odd, err := f.WithVector(t.Context(), "ratio", "ratio", ratio)
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
	if !slices.Equal(odd, []frames.Impossible{{frames.NotAboveZero, 2, 2}, {frames.DividedByZero, 1, 4}}) {
		t.Errorf("impossible: %v", odd)
	}
	missing, _ := next.MissingIn("ratio")
	if !slices.Equal(rows(missing), []int{2, 3, 4, 5}) {
		t.Errorf("missing are rows %v", rows(missing))
	}
	// What is impossible only where it is not chosen is no matter.
	known, _ := f.Compare("load", ">", 0, units.Unit{})
	not, _ := f.Compare("load", "<=", 0, units.Unit{})
	safe, err := frames.Choose(known, not, logs, frames.Amount(0, units.Unit{}))
	if err != nil {
		t.Fatal(err)
	}
	if next, odd, err = f.WithVector(t.Context(), "safe", "safe", safe); err != nil || odd != nil {
		t.Errorf("%v, %v", odd, err)
	}
	if missing, _ := next.MissingIn("safe"); !slices.Equal(rows(missing), []int{2}) {
		t.Errorf("the condition cannot be told in row 2 alone; missing are %v", rows(missing))
	}
	if _, _, err := next.WithVector(t.Context(), "load", "load", safe); err == nil {
		t.Error("a column was written over")
	}
}

func TestDifferencesOfTemperaturesConvertWithoutAShift(t *testing.T) {
	f := opened(t, "cure temp (degC)\n20\n10\n")
	v, _ := f.Vector(t.Context(), "cure_temp")
	over, err := frames.Subtract(v, frames.Amount(13, unit(t, "degC")))
	if err != nil {
		t.Fatal(err)
	}
	f, _, err = f.WithVector(t.Context(), "over", "over", over)
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
