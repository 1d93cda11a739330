package frames_test

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"breakbook/frames"
	"breakbook/frames/curvefiles"
	"breakbook/frames/reading"
	"breakbook/frames/units"
)

// files writes texts into a folder and gives their paths in order.
func filesOf(t *testing.T, named ...string) []string {
	t.Helper()
	folder := t.TempDir()
	var paths []string
	for i := 0; i < len(named); i += 2 {
		path := filepath.Join(folder, named[i])
		if err := os.WriteFile(path, []byte(named[i+1]), 0o666); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

func unitOf(t *testing.T, s string) units.Unit {
	t.Helper()
	u, ok := units.Parse(s)
	if !ok {
		t.Fatalf("%s is no unit", s)
	}
	return u
}

func TestCurvesStayWithTheirRows(t *testing.T) {
	c, _, err := curvefiles.Read(t.Context(), filesOf(t, "log.csv", "no,slip (mm),load (N)\n3,0,3\n1,0,1\n9,0,9\n"),
		curvefiles.Columns{Key: "no"}, units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	f, _, err := reading.Read(t.Context(), "x.csv", []byte("no,wood\n1,oak\n2,oak\n3,ash\n"), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	with, m, err := f.WithCurves(c, "no")
	if err != nil || !slices.Equal(m.Without, []int{1}) || len(m.Strangers) != 1 || c.Names[m.Strangers[0]] != "9" {
		t.Fatalf("%+v %v", m, err)
	}
	if f.Curves() != nil {
		t.Error("the frame it came from has changed")
	}
	part := with.Subset(t.Context(), []bool{false, true, true})
	if _, ok := part.CurveOf(0); ok {
		t.Error("a row without a curve has one")
	}
	i, ok := part.CurveOf(1)
	if _, load := c.Curve(i); !ok || load[0] != 3 {
		t.Errorf("the curve of 3 has load %v", load)
	}
	if renamed, err := with.SetRole("no", frames.Specimen); err != nil || renamed.Curves() != c {
		t.Errorf("shaping lost the curves: %v", err)
	}
}

func TestNamesThatDifferInCaseOnly(t *testing.T) {
	c, _, err := curvefiles.Read(t.Context(), filesOf(t, "log.csv", "id,slip (mm),load (N)\ng1,0,1\nG1,0,2\ng2,0,3\n"),
		curvefiles.Columns{Key: "id"}, units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	f, _, err := reading.Read(t.Context(), "x.csv", []byte("id,n\nG1,1\nG2,2\n"), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	f, m, err := f.WithCurves(c, "id")
	if err != nil || len(m.Without) != 0 || len(m.Strangers) != 1 {
		t.Fatalf("%+v %v", m, err)
	}
	for row, want := range []float64{2, 3} {
		i, _ := f.CurveOf(row)
		if _, load := c.Curve(i); load[0] != want {
			t.Errorf("row %d has the curve with %v, want %v", row+1, load[0], want)
		}
	}
}

func TestWithNumbers(t *testing.T) {
	f, _, err := reading.Read(t.Context(), "x.csv", []byte("id,load (N)\na,1\nb,2\n"), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	next, err := f.WithNumbers(t.Context(), frames.NumberColumn{Name: "load", Label: "Load", Unit: unitOf(t, "kgf"),
		Values: []float64{3, math.NaN()}},
		frames.NumberColumn{Name: "stiffness", Label: "Stiffness", Unit: unitOf(t, "N/mm"),
			Values: []float64{math.NaN(),
				0.1}})
	if err != nil {
		t.Fatal(err)
	}
	if c, _ := next.Column("load"); c.Role != frames.Load || c.Header != "Load (kgf)" {
		t.Errorf("%+v", c)
	}
	got, err := next.Numbers("stiffness")
	if err != nil || got[1] != 0.1 || len(next.Columns()) != 3 {
		t.Errorf("%v %v", got, err)
	}
	if gone, _ := next.MissingIn("load"); !slices.Equal(gone, []bool{false, true}) {
		t.Errorf("missing %v", gone)
	}
	if old, _ := f.Numbers("load"); old[0] != 1 {
		t.Error("the frame it came from has changed")
	}
	if _, err := f.WithNumbers(t.Context(), frames.NumberColumn{Name: "x", Values: []float64{1}}); err == nil {
		t.Error("a column of another length is taken")
	}
}
