package frames

import (
	"context"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"breakbook/frames/units"
)

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
