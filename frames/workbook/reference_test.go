package workbook

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"breakbook/frames/cells"
)

// What stands in the cells of two random workbooks, against what openpyxl reads there
// (testdata/reference/workbooks.py).
func TestCellsAsAnotherLibraryReadsThem(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/workbooks.json")
	if err != nil {
		t.Fatal(err)
	}
	var reference struct {
		Cells map[string][]struct {
			Row, Column int
			Is          string
			Value       any
		}
	}
	if err := json.Unmarshal(text, &reference); err != nil {
		t.Fatal(err)
	}
	if len(reference.Cells) != 2 {
		t.Fatalf("%d workbooks", len(reference.Cells))
	}
	for name, want := range reference.Cells {
		data, err := os.ReadFile("../../testdata/reference/" + name + ".xlsx")
		if err != nil {
			t.Fatal(err)
		}
		table, err := opened(data)
		if err != nil {
			t.Fatal(err)
		}
		got := map[[2]int]string{}
		var b cells.Batch
		for in, more := table.Between(1, mostRows), true; more; {
			more, _ = in.Cut(&b)
		}
		start := 0
		for i, end := range b.Ends {
			for k := start; k < end; k++ {
				if b.Cells[k] != "" {
					got[[2]int{b.Lines[i], k - start + 1}] = b.Cells[k]
				}
			}
			start = end
		}
		if len(want) < 300 || len(got) != len(want) {
			t.Errorf("%s has %d cells, openpyxl reads %d", name, len(got), len(want))
		}
		for _, c := range want {
			cell := got[[2]int{c.Row, c.Column}]
			if !sameCell(cell, c.Is, c.Value) {
				t.Errorf("%s %s%d, a %s: %q, openpyxl reads %v", name, Letters(c.Column-1), c.Row, c.Is, cell, c.Value)
			}
		}
	}
}

// sameCell tells whether the text of a cell says what another library reads in it.
func sameCell(cell, is string, want any) bool {
	switch want := want.(type) {
	case bool:
		return cell == strings.ToUpper(strconv.FormatBool(want))
	case float64:
		x, err := strconv.ParseFloat(strings.TrimSuffix(cell, "%"), 64)
		if err != nil || strings.HasSuffix(cell, "%") != (is == "percent") {
			return false
		}
		if is == "percent" { // a hundredth of the decimal digits, rounded once more
			return math.Abs(x/100-want) <= 1e-15*math.Abs(want)
		}
		return x == want
	case string:
		switch is {
		case "date":
			return cell+" 00:00:00" == want
		case "moment":
			date, clock, _ := strings.Cut(cell, " ")
			if len(clock) == len("14:30") {
				clock += ":00"
			}
			return date+" "+clock == want
		}
		return cell == want
	}
	return false
}
