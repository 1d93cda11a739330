package bench

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// What drove a load has the joint tests, Holm's correction, the shares and the sizes that statsmodels and
// numpy have of the same terms (testdata/reference/drove.json; the script beside it says how, with which
// versions), of series where it has to find a combined term, or a bend, by itself; the search for these has a fifth
// of what may be false, so that p is divided by 0.8.
func TestDroveAgainstReference(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/reference/drove.json")
	if err != nil {
		t.Fatal(err)
	}
	var reference struct {
		Cases []struct {
			Made, CSV         string
			Explained, SD, DF float64
			Rows              []struct {
				Factor   string
				P, Share float64
				Size     *float64
			}
		}
	}
	if err := json.Unmarshal(raw, &reference); err != nil {
		t.Fatal(err)
	}
	if len(reference.Cases) < 9 {
		t.Fatalf("%d cases", len(reference.Cases))
	}
	for i, c := range reference.Cases {
		_, e := startedSession(t, c.CSV, "what drove load")
		near := func(what string, got, want, off float64) {
			if !(math.Abs(got-want) <= off*math.Abs(want)) {
				t.Errorf("case %d, %s, %s: %.12g, want %.12g", i, c.Made, what, got, want)
			}
		}
		values := map[string]float64{}
		for _, v := range e.Values {
			values[v.ID] = v.Cell.Num
		}
		near("explained", values["explained"], c.Explained, 1e-10)
		near("residual sd", values["residual_sd"], c.SD, 1e-10)
		near("residual degrees of freedom", values["residual_df"], c.DF, 0)
		for _, want := range c.Rows {
			near("p of "+want.Factor, shareOf(e, want.Factor, "p"), min(1, want.P/0.8), 1e-8)
			near("share of "+want.Factor, shareOf(e, want.Factor, "share"), want.Share, 1e-9)
			if want.Size != nil {
				near("size of "+want.Factor, shareOf(e, want.Factor, "size"), *want.Size, 1e-9)
			}
		}
	}
}
