package frames_test

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"breakbook/frames"
	"breakbook/frames/reading"
)

func TestPoolGoesByNameAndUnit(t *testing.T) {
	a := opened(t, "specimen,pins,load (N),density (kg/m3),thickness\n1,none,640,612,34\n2,pair,1012,,44\n")
	b := opened(t, "pins,load (kgf),specimen,room (degF),thickness\nsingle,100,1,50,34 mm thick\nnone,,2,59,44\n")
	b = b.SetAside([]bool{true, false}, "knot")
	a, _, err := a.SetKind(t.Context(), "pins", frames.Category) // in b it stays text: too few words to tell
	if err != nil {
		t.Fatal(err)
	}
	next, odd, err := frames.Pool(t.Context(), []frames.Part{{"gates", a}, {"spring", b}})
	if err != nil {
		t.Fatal(err)
	}
	for column, want := range map[string][]string{
		"specimen": {"1", "2", "1", "2"}, "pins": {"none", "pair", "single", "none"},
		"load":    {"640", "1012", "980.665", "-"},
		"density": {"612", "-", "-", "-"}, "room": {"-", "-", "50", "59"},
		"series":    {"gates", "gates", "spring", "spring"},
		"thickness": {"34", "44", "34 mm thick", "44"},
	} {
		if got := cellsOf(next, column); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", column, got, want)
		}
	}
	if got := levelsOf(next, "pins"); !slices.Equal(got, []string{"none", "pair", "single"}) {
		t.Errorf("levels %v", got)
	}
	if reason, aside := next.Aside(2); !aside || reason != "knot" {
		t.Error("what was set aside came back")
	}
	if _, aside := next.Aside(0); aside || next.Line(2) != 2 || next.Line(1) != 3 || next.Len() != 4 {
		t.Errorf("lines %d %d, %d rows", next.Line(2), next.Line(1), next.Len())
	}
	if c, _ := next.RoleColumn(frames.Load); c.Name != "load" {
		t.Errorf("the load is %q", c.Name)
	}
	var codes []string
	for _, m := range odd {
		codes = append(codes, fmt.Sprint(m.Code, " ", m.Column, " ", m.Series, " ", m.Count))
	}
	if want := []string{"only-in density [gates] 2", "kinds-differ thickness [gates] 0",
		"only-in room [spring] 2"}; !slices.Equal(codes, want) {
		t.Errorf("odd %q, want %q", codes, want)
	}
}

func TestPoolSettlesUnitsAndNames(t *testing.T) {
	newton := opened(t, "load (N),t (mm)\n640,1\n")
	bare := opened(t, "load,t\n65,0.1\n")
	mass := opened(t, "load (kg)\n65\n64\n")
	apart := opened(t, "peak load (N)\n65\n64\n")
	next, odd, err := frames.Pool(t.Context(), []frames.Part{{"a", bare}, {"b", newton}})
	if err != nil || !slices.Equal(cellsOf(next, "load"), []string{"65", "640"}) || len(odd) != 2 ||
		odd[0].Code != "unit-assumed" || odd[0].Unit != "N" || odd[0].Series[0] != "a" {
		t.Errorf("%v, %+v, %v", cellsOf(next, "load"), odd, err)
	}
	if _, _, err := frames.Pool(t.Context(), []frames.Part{{"a", newton},
		{"c", mass}}); codeOf(err) != "wrong-dimension" ||
		err.Error() != "load is in N in a and in kg in c, which cannot be put together" {
		t.Errorf("%v", err)
	}
	apart, err = apart.SetRole("peak_load", frames.Load)
	if err != nil {
		t.Fatal(err)
	}
	_, odd, err = frames.Pool(t.Context(), []frames.Part{{"a", newton}, {"d", apart}})
	if err != nil || !slices.ContainsFunc(odd, func(m frames.Mismatch) bool {
		return reflect.DeepEqual(m, frames.Mismatch{Code: "loads-apart", Column: "load", Other: "peak_load",
			Series: []string{"d"}})
	}) {
		t.Errorf("%+v, %v", odd, err)
	}
	// A pool in a pool keeps where its specimens are from.
	again, _, err := frames.Pool(t.Context(), []frames.Part{{"all", next}, {"e", newton}})
	if err != nil || !slices.Equal(cellsOf(again, "series"), []string{"a", "b", "e"}) {
		t.Errorf("%v, %v", cellsOf(again, "series"), err)
	}
	if len(again.Files()) != 3 {
		t.Errorf("made from %d files, want 3", len(again.Files()))
	}
	numbered := opened(t, "series,load (N)\n1.5,640\n2,641\n")
	if _, _, err := frames.Pool(t.Context(), []frames.Part{{"a", newton},
		{"f", numbered}}); codeOf(err) != "name-taken" {
		t.Errorf("%v", err)
	}
}

// Splitting a pool by its series gives back every cell of the parts.
func TestPoolSplitGivesThePartsBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var parts []frames.Part
		for i := range rapid.IntRange(2, 4).Draw(r, "parts") {
			names := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"load (N)", "pins", "density (kg/m3)", "board",
				"note"}), 1, 5, rapid.ID).Draw(r, "columns")
			var file strings.Builder
			file.WriteString(strings.Join(names, ",") + ",end\n")
			for range rapid.IntRange(1, 6).Draw(r, "rows") {
				for _, name := range names {
					cell := ""
					if rapid.IntRange(0, 4).Draw(r, "missing") > 0 {
						switch name {
						case "pins", "board":
							cell = rapid.SampledFrom([]string{"none", "pair", "b2", "b10"}).Draw(r, "word")
						case "note":
							cell = rapid.StringMatching(`[a-zA-Z]{1,6}`).Draw(r, "text")
						default:
							cell = fmt.Sprint(rapid.Float64Range(-1e4, 1e4).Draw(r, "number"))
						}
					}
					file.WriteString(cell + ",")
				}
				file.WriteString("x\n")
			}
			f, _, err := reading.Read(context.Background(), "part.csv", []byte(file.String()), reading.Overrides{})
			if err != nil {
				r.Fatal(err)
			}
			mask := make([]bool, f.Len())
			for row := range mask {
				mask[row] = rapid.IntRange(0, 3).Draw(r, "aside") == 0
			}
			parts = append(parts, frames.Part{fmt.Sprint("s", i), f.SetAside(mask, "cracked")})
		}
		pool, _, err := frames.Pool(t.Context(), parts)
		if err != nil {
			r.Fatal(err)
		}
		for _, part := range parts {
			mask, err := pool.Is("series", []string{part.Name})
			if err != nil {
				r.Fatal(err)
			}
			back := pool.Subset(t.Context(), mask)
			if back.Len() != part.Frame.Len() {
				r.Fatalf("%s has %d rows, %d came back", part.Name, part.Frame.Len(), back.Len())
			}
			for _, c := range part.Frame.Columns() {
				if got, want := cellsOf(back, c.Name), cellsOf(part.Frame, c.Name); !slices.Equal(got, want) {
					r.Fatalf("%s of %s: %v, want %v", c.Name, part.Name, got, want)
				}
			}
			for row := range back.Len() {
				gotReason, got := back.Aside(row)
				reason, want := part.Frame.Aside(row)
				if got != want || gotReason != reason || back.Line(row) != part.Frame.Line(row) {
					r.Fatalf("row %d of %s: aside %v %q line %d", row, part.Name, got, gotReason, back.Line(row))
				}
			}
			for _, c := range back.Columns() {
				if _, own := part.Frame.Column(c.Name); !own && c.Name != "series" &&
					slices.ContainsFunc(cellsOf(back, c.Name),
						func(s string) bool { return s != "-" }) {
					r.Fatalf("%s of %s came from nowhere: %v", c.Name, part.Name, cellsOf(back, c.Name))
				}
			}
		}
	})
}

func TestLineUp(t *testing.T) {
	tests := opened(t, "specimen,board,load (N)\nt1,B1,640\nt2,b2,700\nt3,,650\nt4,b9,610\nt5,b1,655\n")
	boards := opened(t, "board,load (kN),density "+
		"(kg/m3),sort\nb1,0.5,612,larch\nb2,0.6,640,oak\nb3,0.7,655,elm\n,1,2,ash\n")
	boards, _, err := boards.SetKind(t.Context(), "sort", frames.Category)
	if err != nil {
		t.Fatal(err)
	}
	boards = boards.SetAside([]bool{false, true, false, false}, "wet")
	next, met, err := frames.LineUp(t.Context(), frames.Part{"tests", tests}, frames.Part{"boards", boards}, "board")
	if err != nil {
		t.Fatal(err)
	}
	for column, want := range map[string][]string{
		"load": {"640", "700", "650", "610", "655"}, "load_second": {"0.5", "0.6", "-", "-", "0.5"},
		"density": {"612", "640", "-", "-", "612"}, "sort": {"larch", "oak", "-", "-", "larch"},
		"board": {"B1", "b2", "-",
			"b9", "b1"},
	} {
		if got := cellsOf(next, column); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", column, got, want)
		}
	}
	want := frames.LinedUp{Matched: 3, Shared: 1, Alone: []int{2, 3}, LeftOut: []int{2, 3}, Keyless: [2]int{1, 1},
		Renamed: [][2]string{{"load", "load_second"}}, AsideToo: 1}
	if !reflect.DeepEqual(*met, want) {
		t.Errorf("%+v, want %+v", *met, want)
	}
	if !slices.Equal(levelsOf(next, "sort"), []string{"larch", "oak"}) {
		t.Errorf("levels %v", levelsOf(next, "sort"))
	}
	if reason, _ := next.Aside(1); reason != "wet" {
		t.Errorf("aside because %q", reason)
	}
	if v, _ := next.Numbers("density"); !math.IsNaN(v[2]) || v[4] != 612 {
		t.Errorf("density %v", v)
	}
	if v, _ := boards.Numbers("density"); v[0] != 612 {
		t.Error("the second series was changed")
	}
	if _, _, err := frames.LineUp(t.Context(), frames.Part{"boards", boards}, frames.Part{"tests",
		opened(t, "board\nb1\nb1\n")}, "board"); codeOf(err) != "key-twice" {
		t.Errorf("%v", err)
	}
	if _, _, err := frames.LineUp(t.Context(), frames.Part{"tests", tests},
		frames.Part{"x", opened(t, "board\nq\nz\n")}, "board"); codeOf(err) != "no-partners" {
		t.Errorf("%v", err)
	}
	if _, _, err := frames.LineUp(t.Context(), frames.Part{"tests", tests}, frames.Part{"x", opened(t, "plank\nq\n")},
		"board"); codeOf(err) != "unknown-column" {
		t.Errorf("%v", err)
	}
	// Numbers meet as numbers, in one unit.
	a, b := opened(t, "width (mm),x\n34,1\n44,2\n"), opened(t, "width (cm),y\n4.4,7\n3.4,8\n")
	if next, _, err = frames.LineUp(t.Context(), frames.Part{"a", a}, frames.Part{"b", b}, "width"); err != nil ||
		!slices.Equal(cellsOf(next, "y"), []string{"8", "7"}) {
		t.Errorf("%v, %v", cellsOf(next, "y"), err)
	}
}
