package proofread_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"breakbook/frames/proofread"
	"breakbook/frames/reading"
)

// TestPasted: of invented sheets that are entered once, none has three rows or more that repeat another; entered twice,
// by a numbering that goes on or by none, every row from the first to the last is found to repeat its own.
func TestPasted(t *testing.T) {
	const sheets = 60
	for _, named := range []bool{true, false} {
		for seed := range uint64(sheets) {
			r := rand.New(rand.NewPCG(seed, 1))
			rows := 20 + r.IntN(40)
			boards := 4 + r.IntN(9)
			strength := make([]float64, boards)
			for b := range strength {
				strength[b] = 400 + 30*r.NormFloat64()
			}
			var sheet []string
			for i := range rows {
				sheet = append(sheet, fmt.Sprintf("%s,%.0f,B%d,%.0f,%s", []string{"none", "pair"}[i/2%2],
					600+30*r.NormFloat64(), i%boards, 5*float64(int(strength[i%boards]/5+6*r.NormFloat64())),
					[]string{"glue", "wood"}[r.IntN(2)]))
			}
			if all := twice(t, named, sheet); len(all) >= 3 {
				t.Errorf("sheet %d, entered once, named %v: %d rows are told as entered twice", seed, named, len(all))
			}
			all := twice(t, named, append(sheet, sheet...))
			for i, r := range all {
				if len(r.Rows) != 2 || r.Rows[0] != i || r.Rows[1] != i+rows || (r.Column != "") != named {
					t.Errorf("sheet %d, entered twice, named %v: remark %d is %+v", seed, named, i, r)
				}
			}
			if len(all) != rows {
				t.Errorf("sheet %d, entered twice, named %v: %d of %d rows are found", seed, named, len(all), rows)
			}
		}
	}
}

// twice are the remarks on rows entered twice of a sheet of rows.
func twice(t *testing.T, named bool, rows []string) []proofread.Remark {
	t.Helper()
	text := []string{"pins,density,board,load (kgf),failure"}
	if named {
		text[0] = "specimen," + text[0]
	}
	for i, row := range rows {
		if named {
			row = fmt.Sprintf("S%d,%s", i+1, row)
		}
		text = append(text, row)
	}
	f, _, err := reading.Read(t.Context(), "x.csv", []byte(strings.Join(text, "\n")+"\n"), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	all, err := proofread.Twice(t.Context(), f, proofread.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return all
}
