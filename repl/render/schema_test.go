package render

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"breakbook/repl/page"
)

type someDraws struct {
	Draws int `id:"draws"`
}

type countedRow struct {
	A     string        `id:"{a}"`
	Load  page.Quantity `id:"load" unit:"{y}"`
	Slip  float64       `id:"slip" unit:"mm"`
	Modes page.Many     `id:"{mode}" style:"count"`
	Total int           `id:"total"`
	Sure  bool          `id:"sure"`
}

type countedValues struct {
	N     int       `id:"n"`
	Share float64   `id:"share" style:"percent"`
	Gap   float64   `id:"gap" unit:"mm"`
	DF    page.Many `id:"{column}_df" style:"df"`
	*someDraws
}

var countedKinds = []page.Contract{{Kind: "count by",
	Tables: []page.TableShape{{ID: "counts", Row: reflect.TypeFor[countedRow]()}},
	Values: reflect.TypeFor[countedValues]()}, {Kind: "note"}}

// held says what the schema of these contracts has against an entry.
func held(t *testing.T, contracts []page.Contract, e page.Entry) error {
	t.Helper()
	text, err := Schema(contracts, []string{"count by", "note", "sheet", "look"})
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("entry.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("entry.json")
	if err != nil {
		t.Fatal(err)
	}
	line, err := JSON(e, Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := jsonschema.UnmarshalJSON(bytes.NewReader(line))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(got)
}

func countedEntry(v countedValues) page.Entry {
	row := countedRow{A: "pair", Load: page.Quantity{Value: 3}, Total: 2, Sure: true}
	row.Modes.Add("glue", "", page.N(2))
	row.Modes.Add("wood", "", page.N(0))
	return page.Entry{Number: 3, Input: "count", Kind: "count by",
		Tables: []page.Table{page.Filled(page.Table{ID: "counts"},
			[]countedRow{row}, page.Names{"a": "pins", "y": "kgf"})}, Values: page.ValuesOf(v, nil)}
}

// What Filled and ValuesOf make of a row type is what the schema made of it takes, with and
// without what may be left out; and not with one thing changed.
func TestSchemaTakesWhatItsRowTypesMake(t *testing.T) {
	more := countedValues{N: 2, Share: 50, Gap: 1, someDraws: &someDraws{9}}
	more.DF.Add("density_df", "", page.N(4))
	for name, e := range map[string]page.Entry{"bare": countedEntry(countedValues{}), "whole": countedEntry(more),
		"other kind": {Number: 1, Kind: "look", Values: []page.Value{{ID: "x"}}},
		"note":       {Number: 1, Kind: "note", Prose: "cold"},
		"failed":     {Number: 1, Input: "x", Problem: &page.Problem{Code: "x", Message: "!", At: 1, Hint: "?"}}} {
		if err := held(t, countedKinds, e); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, change := range map[string]func(*page.Entry){
		"a value more":        func(e *page.Entry) { e.Values = append(e.Values, page.Value{ID: "m"}) },
		"a value less":        func(e *page.Entry) { e.Values = e.Values[1:] },
		"a text for a number": func(e *page.Entry) { e.Values[0].Cell = page.T("two") },
		"a unit for a count":  func(e *page.Entry) { e.Values[0].Unit = "mm" },
		"another unit":        func(e *page.Entry) { e.Values[2].Unit = "inch" },
		"another table":       func(e *page.Entry) { e.Tables[0].ID = "means" },
		"columns swapped": func(e *page.Entry) {
			c := e.Tables[0].Columns
			c[1], c[2] = c[2], c[1]
		},
		"a column's unit":  func(e *page.Entry) { e.Tables[0].Columns[2].Unit = "" },
		"a column missing": func(e *page.Entry) { e.Tables[0].Columns = e.Tables[0].Columns[:2] },
		"a cell of text":   func(e *page.Entry) { e.Tables[0].Rows[0][1] = page.T("3") },
		"a table of a note": func(e *page.Entry) {
			e.Kind, e.Values = "note", nil
		},
		"no such kind": func(e *page.Entry) { e.Kind, e.Values, e.Tables = "counting", nil, nil },
		"no message":   func(e *page.Entry) { e.Problem = &page.Problem{Code: "x"} },
		"a hint of two lines": func(e *page.Entry) {
			e.Problem = &page.Problem{Code: "x", Message: "!", Hint: "one\ntwo"}
		},
	} {
		e := countedEntry(more)
		change(&e)
		if held(t, countedKinds, e) == nil {
			t.Errorf("%s passes the schema", name)
		}
	}
}

// Two commands may share a kind: a value that only one of them has is no must.
func TestSchemaOfACommonKind(t *testing.T) {
	both := append([]page.Contract{{Kind: "count by", Values: reflect.TypeFor[someDraws]()}}, countedKinds...)
	for _, e := range []page.Entry{countedEntry(countedValues{}),
		{Number: 1, Kind: "count by", Values: page.ValuesOf(someDraws{3}, nil)}} {
		if err := held(t, both, e); err != nil {
			t.Error(err)
		}
	}
}

// A contract of the empty kind tells of the table that `each of` puts first, one without a
// row type only that there is such a table.
func TestSchemaOfEachAndOfOpenTables(t *testing.T) {
	type eachRow struct {
		Level string `id:"{column}"`
		Used  int    `id:"used"`
	}
	all := append([]page.Contract{{Tables: []page.TableShape{{ID: "each", Row: reflect.TypeFor[eachRow]()}}},
		{Kind: "sheet", Tables: []page.TableShape{{ID: "sheet"}}}}, countedKinds...)
	e := countedEntry(countedValues{})
	e.Values = nil
	each := page.Filled(page.Table{ID: "each"}, []eachRow{{"d1", 4}}, page.Names{"column": "day"})
	e.Tables[0].Columns = append([]page.Column{{ID: "day"}}, e.Tables[0].Columns...)
	e.Tables[0].Rows[0] = append([]page.Cell{page.T("d1")}, e.Tables[0].Rows[0]...)
	e.Tables = append([]page.Table{each}, e.Tables...)
	open := page.Entry{Number: 1, Kind: "sheet", Tables: []page.Table{{ID: "sheet", Columns: []page.Column{{ID: "x"}}}}}
	for _, one := range []page.Entry{e, open} {
		if err := held(t, all, one); err != nil {
			t.Error(err)
		}
	}
	each.Columns[1].ID = "taken"
	open.Tables[0].ID = "list"
	for _, one := range []page.Entry{e, open} {
		if held(t, all, one) == nil {
			t.Errorf("%+v passes the schema", one.Tables)
		}
	}
}

func TestPatternOfAnID(t *testing.T) {
	for id, want := range map[string]string{"{a}": "^.+$", "spread_{a}.df": `^spread_.+\.df$`, "n": "^n$"} {
		if got := patternOf(id); got != want {
			t.Errorf("%s: %s, want %s", id, got, want)
		}
	}
	if text, err := Schema(nil, nil); err != nil || strings.Contains(string(text), "allOf") {
		t.Errorf("a schema of no contract: %v", err)
	}
}
