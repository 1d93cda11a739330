package render

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"breakbook/repl/page"
)

const fitJSON = `{"entry":3,"input":"fit load on density, pins","ok":true,"kind":"fit","name":"fit1",` +
	`"series":"gates",` +
	`"specimens":{"used":38,"set_aside":2,"missing":1},` +
	`"findings":["A pair of pins carries 412 N more than none, 95 % interval from 251 N to 573 N, p < 0.0001: ` +
	`differs.",` +
	`"Density: +3.2 N per kg/m³, p = 0.031.","The terms explain 61 % of the variation."],` +
	`"doubts":[],"tables":[{"id":"terms","title":"Expected load of a baseline specimen (pins: none) and what ` +
	`changes it",` +
	`"columns":[{"id":"term"},{"id":"effect","unit":"N"},{"id":"low","unit":"N"},{"id":"high","unit":"N"},` +
	`{"id":"standard_error","unit":"N"},{"id":"t"},{"id":"df"},{"id":"p"}],` +
	`"rows":[["baseline",2512.37,2301.5,2723.24,103.4,24.297,34,1e-22],["pins: pair",412.13,250.91,573.35,79.33,` +
	`5.195,34,0.0000031],` +
	`["pins: single",-35.2,-190.1,119.7,76.2,-0.462,34,0.647],["density",3.2143,0.31,6.1186,1.429,2.249,34,0.0311]],` +
	`"note":"Number columns are measured from their mean."}],` +
	`"values":{"n":38,"residual_sd":251.31,"explained":0.6123,"f":17.93,"p":4.2e-7},` +
	`"value_units":{"residual_sd":"N","explained":"fraction"},` +
	`"figures":[{"path":"out/figure-1.png","alt":"Load by pins: the pair stands highest."}],` +
	`"cautions":["6 boards: specimens of one board are alike; fit load on density, pins blocked by board takes ` +
	`that in."]}`

func TestJSON(t *testing.T) {
	odd := page.Cell{Kind: page.Number, Num: math.Inf(1)}
	for _, c := range []struct {
		name  string
		entry page.Entry
		want  string
	}{
		{"fit", sampleFit(), fitJSON},
		{"bare", page.Entry{Number: 1, Input: "open gates.csv", Kind: "open"},
			`{"entry":1,"input":"open gates.csv","ok":true,"kind":"open","findings":[],"doubts":[],"tables":[],` +
				`"values":{},"value_units":{},"figures":[],"cautions":[]}`},
		{"failed", page.Entry{Number: 4, Input: "fit lod on density", Kind: "fit",
			Problem: &page.Problem{Code: "unknown-column", Message: "no lod", At: 5, Hint: "did you mean load?"}},
			`{"entry":4,"input":"fit lod on density","ok":false,"error":{"code":"unknown-column","message":"no lod",` +
				`"at":5,"hint":"did you mean load?"}}`},
		{"failed nowhere", page.Entry{Number: 5, Input: "x",
			Problem: &page.Problem{Code: "stopped", Message: "interrupted"}},
			`{"entry":5,"input":"x","ok":false,"error":{"code":"stopped","message":"interrupted"}}`},
		{"no numbers", page.Entry{Number: 2, Input: "a <b> & c", Kind: "look", Values: []page.Value{
			{ID: "a", Cell: page.N(math.NaN())}, {ID: "b", Cell: odd}, {ID: "c", Cell: page.N(math.Copysign(0, -1))},
			{ID: "d", Cell: page.T("1 < 2")}, {ID: "e", Cell: page.Cell{Kind: page.Truth, Num: 1}},
			{ID: "g", Cell: page.N(0.30000000000000004)}},
			Tables: []page.Table{{ID: "t", Columns: []page.Column{{ID: "x"}, {ID: "y"}},
				Rows: [][]page.Cell{{page.N(1)}}}}},
			`{"entry":2,"input":"a <b> & c","ok":true,"kind":"look","findings":[],"doubts":[],` +
				`"tables":[{"id":"t","title":"","columns":[{"id":"x"},{"id":"y"}],"rows":[[1,null]]}],` +
				`"values":{"a":null,"b":null,"c":0,"d":"1 < 2","e":true,"g":0.30000000000000004},"value_units":{},` +
				`"figures":[],"cautions":[]}`},
		{"note", page.Entry{Number: 6, Input: "note shed was cold", Kind: "note", Prose: "shed was cold"},
			`{"entry":6,"input":"note shed was cold","ok":true,"kind":"note","findings":["shed was cold"],` +
				`"doubts":[],"tables":[],"values":{},"value_units":{},"figures":[],"cautions":[]}`},
	} {
		got, err := JSON(c.entry, Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if string(got) != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, got, c.want)
		}
		if !json.Valid(got) {
			t.Errorf("%s: not JSON", c.name)
		}
	}
}

func TestJSONSaysWhatValuesAreIn(t *testing.T) {
	got, err := JSON(page.Entry{Kind: "fit", Values: []page.Value{{ID: "n", Style: page.Count}, {ID: "sd", Unit: "kgf"},
		{ID: "p", Style: page.P},
		{ID: "step", Cell: page.Cell{Kind: page.Number, Num: 1, Unit: "mm"}, Unit: "kgf"},
		{ID: "share", Style: page.Fraction},
		{ID: "gain", Style: page.Percent}}}, Options{})
	const want = `"value_units":{"sd":"kgf","step":"mm","share":"fraction","gain":"percent"}`
	if err != nil || !strings.Contains(string(got), want) {
		t.Errorf("got %s (%v), want %s", got, err, want)
	}
}

func TestJSONRefusesAValueTwice(t *testing.T) {
	if got, err := JSON(page.Entry{Values: []page.Value{{ID: "n"}, {ID: "n"}}}, Options{}); err == nil {
		t.Errorf("no error, but %s", got)
	}
}
