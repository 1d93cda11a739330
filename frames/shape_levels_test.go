package frames_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"breakbook/frames"
)

func cellsOf(f *frames.Frame, column string) []string {
	var out []string
	for row := range f.Len() {
		cell, ok := f.Cell(column, row)
		if !ok {
			cell = "-"
		}
		out = append(out, cell)
	}
	return out
}

func levelsOf(f *frames.Frame, column string) []string {
	c, _ := f.Column(column)
	return c.Levels
}

func codeOf(err error) string {
	var e *frames.Error
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

func TestMerge(t *testing.T) {
	f := opened(t, "wood\nLarch\nlarch\noak\n\nelm\noak\n")
	next, err := f.Merge(t.Context(), "wood", []string{"Larch", "larch"}, "larch")
	if err != nil || !slices.Equal(cellsOf(next, "wood"), []string{"larch", "larch", "oak", "-", "elm",
		"oak"}[:next.Len()]) && next.Len() == 6 {
		t.Errorf("%v, %v", cellsOf(next, "wood"), err)
	}
	if codes, err := next.Codes(t.Context(), "wood"); err != nil || len(codes) != next.Len() ||
		!slices.Equal(levelsOf(next, "wood"), []string{"larch", "elm", "oak"}) {
		t.Errorf("codes %v of %v, %v", codes, levelsOf(next, "wood"), err)
	}
	if slices.Contains(cellsOf(f, "wood"), "larch") != true || !slices.Contains(cellsOf(f, "wood"), "Larch") {
		t.Error("the frame itself was changed")
	}
	// A level that is there takes the others in, and stands where the first of them stood.
	if next, err = next.Merge(t.Context(), "wood", []string{"oak"}, "larch"); err != nil ||
		!slices.Equal(levelsOf(next, "wood"), []string{"larch", "elm"}) {
		t.Errorf("levels %v, %v", levelsOf(next, "wood"), err)
	}
	if _, err := f.Merge(t.Context(), "wood", []string{"lark"}, "x"); codeOf(err) != "unknown-level" {
		t.Errorf("%v", err)
	}
}

func TestBand(t *testing.T) {
	f := opened(t, "density (kg/m3),x\n480,a\n500,b\n599.9,c\n600,d\n,e\n720,f\n")
	next, err := f.Band(t.Context(), "density", []float64{500, 600, 800}, "density_band", "Density band")
	if err != nil {
		t.Fatal(err)
	}
	if got := cellsOf(next, "density_band"); !slices.Equal(got, []string{"under 500", "500 to 600", "500 to 600",
		"600 to 800", "-", "600 to 800"}) {
		t.Errorf("bands %v", got)
	}
	if got := levelsOf(next, "density_band"); !slices.Equal(got, []string{"under 500", "500 to 600", "600 to 800"}) {
		t.Errorf("levels %v", got)
	}
	for _, cuts := range [][]float64{nil, {600, 500}, {500, 500}, {500, math.NaN()}} {
		if _, err := f.Band(t.Context(), "density", cuts, "b", "b"); codeOf(err) != "bad-cuts" {
			t.Errorf("cuts %v: %v", cuts, err)
		}
	}
	if _, err := next.Band(t.Context(), "density", []float64{500}, "density_band", "b"); codeOf(err) != "name-taken" {
		t.Errorf("%v", err)
	}
}

func TestCutsAreRoundAndEven(t *testing.T) {
	f := opened(t, "d\n512\n530\n548\n571\n583\n602\n618\n640\n655\n")
	if cuts, err := f.Cuts(t.Context(), "d", 3); err != nil || !slices.Equal(cuts, []float64{570, 610}) {
		t.Errorf("cuts %v, %v; want 570 (between 548 and 571) and 610 (between 602 and 618)", cuts, err)
	}
	tied := opened(t, "d\n1\n1\n1\n1\n2\n3\n")
	if cuts, err := tied.Cuts(t.Context(), "d", 3); err != nil || !slices.Equal(cuts, []float64{2, 3}) {
		t.Errorf("cuts %v, %v; want 2, 3", cuts, err)
	}
	if _, err := tied.Cuts(t.Context(), "d", 4); codeOf(err) != "too-few-values" {
		t.Errorf("%v", err)
	}
}

func TestRenameAndConvert(t *testing.T) {
	f := opened(t, gates)
	next, err := f.Rename("load", "peak", "Peak load")
	if err != nil {
		t.Fatal(err)
	}
	if _, there := next.Column("load"); there {
		t.Error("the old name is still there")
	}
	c, ok := next.Column("peak")
	if !ok || c.Label != "Peak load" || c.Header != "load (N)" || c.Role != frames.Load {
		t.Errorf("%+v", c)
	}
	if v, err := next.Numbers("peak"); err != nil || v[0] != 640 {
		t.Errorf("%v, %v", v, err)
	}
	if _, err := f.Rename("load", "pins", "x"); codeOf(err) != "name-taken" {
		t.Errorf("%v", err)
	}
	if next, err = next.Convert(t.Context(), "peak", unit(t, "kN")); err != nil {
		t.Fatal(err)
	}
	if v, _ := next.Numbers("peak"); v[0] != 0.64 || !math.IsNaN(v[3]) {
		t.Errorf("%v", v)
	}
	if _, err := f.Convert(t.Context(), "load", unit(t, "mm")); err == nil ||
		err.Error() != "N is a force and mm is a length" {
		t.Errorf("%v", err)
	}
	bare := opened(t, "x\n1\n2.5\n")
	if _, err := bare.Convert(t.Context(), "x", unit(t, "mm")); codeOf(err) != "no-unit" {
		t.Errorf("%v", err)
	}
	if _, err := f.Convert(t.Context(), "pins", unit(t, "mm")); codeOf(err) != "not-a-number-column" {
		t.Errorf("%v", err)
	}
}
