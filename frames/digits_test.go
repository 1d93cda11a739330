package frames

import (
	"context"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"breakbook/frames/units"
)

func TestStepOf(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{
		{nil, 0}, {[]float64{0, math.NaN()}, 0}, {[]float64{18, 400}, 1}, {[]float64{388, 402.5, math.NaN()}, 0.1},
		{[]float64{184, 97.27}, 0.01}, {[]float64{0.00001234}, 1e-8}, {[]float64{-20.25}, 0.01},
		{[]float64{1.0 / 3}, 1e-15}, {[]float64{100.0 / 3, 1}, 1e-13}, {[]float64{math.Inf(1), 2.5}, 0.1},
	} {
		if got := stepOf(t.Context(), c.values); math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("step of %v is %v, want %v", c.values, got, c.want)
		}
	}
}

func TestStepAt(t *testing.T) {
	for _, c := range []struct {
		values []float64
		digits int
		want   float64
	}{
		{[]float64{4.56789, 1}, 3, 0.001}, {[]float64{4.56, 1}, 3, 0}, {[]float64{1.0 / 3}, 0, 0}, {nil, 3, 0},
		{[]float64{12345.678}, 3, 10}, {[]float64{0.0123456}, 2, 0.0001},
	} {
		if got := StepAt(t.Context(), c.values, c.digits); math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("step of %v with %d digits is %v, want %v", c.values, c.digits, got, c.want)
		}
	}
}

// numbersFrame is a frame of one number column.
func numbersFrame(t interface{ Fatal(...any) }, values []float64, unit string) *Frame {
	u, ok := units.Parse(unit)
	if !ok {
		t.Fatal(unit)
	}
	f := &Frame{at: map[string]int{}, lines: make([]int32, len(values))}
	next, err := f.WithNumbers(context.Background(), NumberColumn{Name: "load", Unit: u, Values: values})
	if err != nil {
		t.Fatal(err)
	}
	return next
}

// What was read with some decimals, and converted, shows with no more than one significant digit more,
// and with enough to tell any two readings apart; converted back it shows as it was read.
func TestConvertedColumnsKeepTheirDigits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := rapid.IntRange(0, 4).Draw(t, "decimals")
		whole := rapid.SliceOfN(rapid.Int64Range(1, 9_999_999), 1, 20).Draw(t, "readings")
		values := make([]float64, len(whole))
		finest := 0
		for i, n := range whole {
			text := strconv.FormatFloat(float64(n)/math.Pow10(decimals), 'f', decimals, 64)
			values[i], _ = strconv.ParseFloat(text, 64)
			for d := decimals; d > 0; d-- {
				if n%pow10(decimals-d+1) != 0 {
					finest = max(finest, d)
					break
				}
			}
		}
		from := rapid.SampledFrom([]string{"N", "kgf", "lbf", "kN"}).Draw(t, "from")
		to := rapid.SampledFrom([]string{"N", "kgf", "lbf", "kN"}).Draw(t, "to")
		f := numbersFrame(t, values, from)
		u, _ := units.Parse(to)
		back, _ := units.Parse(from)
		next, err := f.Convert(context.Background(), "load", u)
		if err != nil {
			t.Fatal(err)
		}
		c, _ := next.Column("load")
		change, _ := units.To(back, u)
		if want := change.ApplyDifference(math.Pow10(-finest)); math.Abs(c.Step-want) > 1e-9*want {
			t.Fatalf("%v %s with %d decimals: step %v %s, want %v", values, from, finest, c.Step, to, want)
		}
		again, err := next.Convert(context.Background(), "load", back)
		if err != nil {
			t.Fatal(err)
		}
		if c, _ := again.Column("load"); math.Abs(c.Step*math.Pow10(finest)-1) > 1e-9 {
			t.Fatalf("back in %s the step is %v, want %v", from, c.Step, math.Pow10(-finest))
		}
	})
}

func pow10(n int) int64 { return int64(math.Pow10(n)) }
