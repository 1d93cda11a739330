package book

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// lines is entries as an earlier run wrote them.
func lines(t *testing.T, entries []page.Entry) string {
	t.Helper()
	var b strings.Builder
	for _, e := range entries {
		j, err := render.JSON(e, render.Options{})
		if err != nil {
			t.Fatal(err)
		}
		b.Write(j)
		b.WriteByte('\n')
	}
	return b.String()
}

func TestCompareSame(t *testing.T) {
	now := sampleEntries()
	old := lines(t, now)
	for i := range now {
		now[i].Number += 7 // numbers may differ
	}
	now[5].Figures[0].Path = "elsewhere/pins.png" // and folders
	if got, err := Compare(strings.NewReader(old), now, 0, render.Options{}); err != nil || len(got) != 0 {
		t.Errorf("%v, %v", got, err)
	}
}

func TestCompare(t *testing.T) {
	old :=
		`{"entry":1,"input":"open a","ok":true,"kind":"open","findings":["x"],"tables":[{"id":"t","title":"",` +
			`"columns":[{"id":""},{"id":""}],` +
			`"rows":[["a",1],["b",2]]}],"values":{"n":3,"sd":1.5},"figures":[],"cautions":[]}
{"entry":2,"input":"look","ok":true}

{"entry":3,"input":"average load by pins","ok":true,"kind":"average"}
`
	table := page.Table{ID: "t", Rows: [][]page.Cell{{page.T("a"), page.N(1 + 1e-12)}}, Columns: make([]page.Column, 2)}
	now := []page.Entry{
		{Number: 1, Input: "open a", Kind: "open",
			Values:   []page.Value{{ID: "n", Cell: page.N(3)}, {ID: "sd", Cell: page.N(page.None)}},
			Findings: []page.Sentence{page.Say("y")}, Tables: []page.Table{table}},
		{Number: 2, Input: "count failure by pins"},
		{Number: 3, Input: "average load by pins", Problem: &page.Problem{Code: "stopped", Message: "no < yes"}},
	}
	number := Difference{1, "open a", "tables 1 rows 1 2", "1", "1.000000000001"}
	want := []Difference{
		{1, "open a", "findings 1", `"x"`, `"y"`},
		number,
		{1, "open a", "tables 1 rows 2", `["b",2]`, ""},
		{1, "open a", "values sd", "1.5", "null"},
		{2, "look", "", "look", ""},
		{2, "count failure by pins", "", "", "count failure by pins"},
		{3, "average load by pins", "ok", "true", `{"code":"stopped","message":"no < yes"}`},
	}
	for _, within := range []float64{0, 1e-9} {
		got, err := Compare(strings.NewReader(old), now, within, render.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if within > 0 {
			want = slices.DeleteFunc(want, func(d Difference) bool { return d == number })
		}
		if !slices.Equal(got, want) {
			t.Errorf("within %v: got %+v\nwant %+v", within, got, want)
		}
	}
}

func TestCompareNamesABadLine(t *testing.T) {
	_, err := Compare(strings.NewReader("{\"entry\":1}\nnot JSON\n"), nil, 0, render.Options{})
	if err == nil || !strings.HasPrefix(err.Error(), "line 2 is no JSON object") {
		t.Errorf("error %v", err)
	}
}

// A run written before values had units differs in no answer; one whose units are others does.
func TestCompareWithARunWithoutUnits(t *testing.T) {
	const before = `{"entry":1,"input":"fit","ok":true,"kind":"fit","findings":[],"tables":[],"values":{"sd":2},` +
		`%s"figures":[],"cautions":[]}`
	now := []page.Entry{{Number: 1, Input: "fit", Kind: "fit",
		Values: []page.Value{{ID: "sd", Cell: page.N(2), Unit: "kgf"}}}}
	for units, want := range map[string][]Difference{
		"": nil, `"value_units":{"sd":"kgf"},`: nil,
		`"value_units":{"sd":"N"},`: {{1, "fit", "value_units sd", `"N"`, `"kgf"`}},
		`"value_units":{},`:         {{1, "fit", "value_units sd", "", `"kgf"`}},
	} {
		got, err := Compare(strings.NewReader(fmt.Sprintf(before, units)), now, 0, render.Options{})
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: got %+v (%v), want %+v", units, got, err, want)
		}
	}
}
