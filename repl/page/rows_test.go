package page

import (
	"math"
	"reflect"
	"testing"
)

type bounds struct {
	Low  float64 `id:"low" unit:"{y}"`
	High float64 `id:"high" unit:"{y}" wide:"yes"`
}

type meanRow struct {
	Level string `id:"{a}"`
	N     int    `id:"n"`
	bounds
	P      float64 `id:"p" style:"p"`
	DF     float64 `id:"df" label:"degrees of freedom" style:"df"`
	Sure   bool    `id:"sure"`
	Either Cell    `id:"either"`
	Counts Many    `id:"{modes}" style:"count"`
}

func TestFilledTellsColumnsByTheirTags(t *testing.T) {
	modes := []string{"glue", "wood"}
	got := Filled(Table{ID: "means"}, []meanRow{
		{"none", 12, bounds{1, 2}, 0.01, 4.5, true, T("few"), Many{IDs: modes, Cells: []Cell{N(3), N(9)}}},
		{"", 0, bounds{math.NaN(), math.Inf(1)}, 1, 3, false, N(2), Many{IDs: modes, Cells: []Cell{N(0), N(0)}}},
	}, Names{"y": "kgf", "a": "pins"})
	want := Table{ID: "means", Columns: []Column{{ID: "pins"}, {ID: "n", Style: Count}, {ID: "low", Unit: "kgf"},
		{ID: "high", Unit: "kgf", Wide: true}, {ID: "p", Style: P}, {ID: "df", Label: "degrees of freedom", Style: DF},
		{ID: "sure"}, {ID: "either"}, {ID: "glue", Style: Count}, {ID: "wood", Style: Count}},
		Rows: [][]Cell{
			{T("none"), N(12), N(1), N(2), N(0.01), N(4.5), {Kind: Truth, Num: 1}, T("few"), N(3), N(9)},
			{{}, N(0), {}, {}, N(1), N(3), {Kind: Truth}, N(2), N(0), N(0)},
		}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

func TestFilledWithoutRowsKeepsItsColumns(t *testing.T) {
	got := Filled(Table{ID: "means"}, []meanRow(nil), Names{"a": "pins"})
	if len(got.Rows) != 0 || len(got.Columns) != 8 || got.Columns[0].ID != "pins" {
		t.Errorf("got %+v", got)
	}
}

func TestValuesOf(t *testing.T) {
	type figures struct {
		N  int     `id:"n"`
		SD float64 `id:"residual_sd" unit:"{y}"`
	}
	got := ValuesOf(figures{38, 25.5}, Names{"y": "kgf"})
	want := []Value{{ID: "n", Cell: N(38), Style: Count}, {ID: "residual_sd", Cell: N(25.5), Unit: "kgf"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

type extra struct {
	Draws int `id:"draws"`
}

type sometimes struct {
	Term   string   `id:"term"`
	Effect Quantity `id:"effect" unit:"{y}"`
	*extra
	Against Many `id:"{test}_df" style:"df"`
}

// What an embedded pointer holds is there where it is set; a Many brings labels along.
func TestColumnsThatAreNotAlwaysThere(t *testing.T) {
	plain := sometimes{Term: "density", Effect: Quantity{Value: 3, Unit: "kgf per mm"}}
	if got := ValuesOf(plain, Names{"y": "kgf"}); len(got) != 2 ||
		got[1].Cell != (Cell{Kind: Number, Num: 3, Unit: "kgf per mm"}) ||
		got[1].Unit != "kgf" {
		t.Errorf("got %+v", got)
	}
	whole := plain
	whole.extra = &extra{7}
	whole.Against.Add("shape_df", "df of the shape", N(4))
	whole.Effect = Quantity{Value: math.NaN(), Unit: "kgf"}
	got := Filled(Table{}, []sometimes{whole}, nil)
	want := []Column{{ID: "term"}, {ID: "effect", Unit: "{y}"}, {ID: "draws", Style: Count},
		{ID: "shape_df", Label: "df of the shape", Style: DF}}
	if !reflect.DeepEqual(got.Columns, want) || !reflect.DeepEqual(got.Rows, [][]Cell{{T("density"), {}, N(7), N(4)}}) {
		t.Errorf("got %+v", got)
	}
	if got := Filled(Table{}, []sometimes{}, nil); len(got.Columns) != 2 {
		t.Errorf("without rows: %+v", got.Columns)
	}
	if f := Fields(reflect.TypeFor[sometimes]()); !f[2].Maybe || f[0].Maybe || f[3].Maybe {
		t.Errorf("which may be left out: %+v", f)
	}
}

func TestRowTypesThatAreNone(t *testing.T) {
	for _, row := range []any{
		struct{ N int }{},
		struct {
			N int `id:"n" style:"number"`
		}{},
		struct {
			N []int `id:"n"`
		}{},
		struct{}{},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%T passed for a row", row)
				}
			}()
			Fields(reflect.TypeOf(row))
		}()
	}
}

// TestFilledKeepsOwnColumns holds a table to a person's own columns, each with its unit and
// style, and to texts that are there though they are empty.
func TestFilledKeepsOwnColumns(t *testing.T) {
	type row struct {
		Row  int    `id:"row"`
		Own  Many   `id:"{columns}"`
		Note string `id:"note" blank:"yes"`
	}
	own := []Column{{ID: "load", Unit: "kgf", Style: Exact}, {ID: "pins", Label: "Pins"}}
	got := Filled(Table{ID: "rows"}, []row{{1, Many{Columns: own, Cells: []Cell{N(7), T("none")}}, ""},
		{2, Many{Columns: own, Cells: []Cell{N(8), {}}}, "x"}}, nil)
	want := Table{ID: "rows", Columns: []Column{{ID: "row", Style: Count}, own[0], own[1], {ID: "note"}},
		Rows: [][]Cell{{N(1), N(7), T("none"), T("")}, {N(2), N(8), {}, T("x")}}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}
