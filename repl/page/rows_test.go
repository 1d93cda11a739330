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
		{"none", 12, bounds{1, 2}, 0.01, 4.5, true, T("few"), Many{modes, []Cell{N(3), N(9)}}},
		{"", 0, bounds{math.NaN(), math.Inf(1)}, 1, 3, false, N(2), Many{modes, []Cell{N(0), N(0)}}},
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
