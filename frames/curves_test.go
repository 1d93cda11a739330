package frames

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

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

func curveOf(t *testing.T, c *Curves, name string) (slip, load []float64) {
	t.Helper()
	i := slices.Index(c.Names, name)
	if i < 0 {
		t.Fatalf("no curve %s among %v", name, c.Names)
	}
	return c.Curve(i)
}

func TestReadingsOfSeveralSpecimensAreSorted(t *testing.T) {
	paths := filesOf(t, "log.csv", "ID;Slip (mm);Load (kgf)\na;0,0;1\nb;0,0;2\na;0,5;3\n;0,6;4\nb;x;5\nb;0,7;\na;0,25;6\n")
	c, err := ReadCurves(t.Context(), paths, CurveColumns{Key: "id"}, unitOf(t, "N"))
	if err != nil {
		t.Fatal(err)
	}
	slip, load := curveOf(t, c, "a")
	if !slices.Equal(slip, []float64{0, 0.5, 0.25}) || !slices.Equal(load, []float64{9.80665, 29.41995, 58.8399}) {
		t.Errorf("a: %v %v", slip, load)
	}
	slip, load = curveOf(t, c, "b")
	if !slices.Equal(slip, []float64{0}) || !slices.Equal(load, []float64{19.6133}) {
		t.Errorf("b: %v %v", slip, load)
	}
	if c.Len() != 2 || c.Readings() != 4 || c.Skipped != 3 || c.LoadUnit != unitOf(t, "N") || c.SlipUnit != unitOf(t, "mm") {
		t.Errorf("%d curves, %d readings, %d skipped, %s, %s", c.Len(), c.Readings(), c.Skipped, c.LoadUnit, c.SlipUnit)
	}
	if !slices.ContainsFunc(c.Remarks, func(r FileRemark) bool { return r.File == paths[0] && r.Code == "stray-word" }) {
		t.Errorf("the stray word is not told: %+v", c.Remarks)
	}
}

func TestFilesOfOneSpecimenGoByTheirNames(t *testing.T) {
	paths := filesOf(t, "A-1.csv", "travel in,force lbf\n0,0\n1,10\n", "A-2.csv", "Slip [mm],F (N)\n0,0\n25.4,5\n")
	c, err := ReadCurves(t.Context(), paths, CurveColumns{Key: "joint"}, units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	slip, load := curveOf(t, c, "A-2")
	if !slices.Equal(slip, []float64{0, 1}) || math.Abs(load[1]-5/4.4482216152605) > 1e-15 {
		t.Errorf("%v %v", slip, load)
	}
	if !slices.Equal(c.Files, paths) || len(c.Sources) != 2 || c.Sources[1].SHA256 == "" {
		t.Errorf("%v %+v", c.Files, c.Sources)
	}
}

func TestCurvesThatCannotBeRead(t *testing.T) {
	for code, texts := range map[string][]string{
		"no-such-file":    nil,
		"which-column":    {"a.csv", "x (mm),y (mm),load (N)\n1,2,3\n"},
		"curve-twice":     {"a.csv", "id,slip (mm),load (N)\ng1,1,2\n", "b.csv", "id,slip (mm),load (N)\ng1,1,2\n"},
		"wrong-dimension": {"a.csv", "slip (mm),load (N)\n1,2\n", "b.csv", "slip (N),load (N)\n1,2\n"},
	} {
		columns := CurveColumns{Key: "id"}
		paths := []string{filepath.Join(t.TempDir(), "none.csv")}
		if texts != nil {
			paths = filesOf(t, texts...)
		}
		if code == "wrong-dimension" {
			columns.Slip, columns.Load = "slip", "load"
		}
		_, err := ReadCurves(t.Context(), paths, columns, units.Unit{})
		var e *Error
		if !errors.As(err, &e) || e.Code != code || e.File == "" || !strings.Contains(e.Error(), e.File) {
			t.Errorf("%s: %v", code, err)
		}
	}
}

func TestCurvesStayWithTheirRows(t *testing.T) {
	c, err := ReadCurves(t.Context(), filesOf(t, "log.csv", "no,slip (mm),load (N)\n3,0,3\n1,0,1\n9,0,9\n"), CurveColumns{Key: "no"}, units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	f, _, err := Read(t.Context(), "x.csv", []byte("no,wood\n1,oak\n2,oak\n3,ash\n"), Overrides{})
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
	if renamed, err := with.SetRole("no", Specimen); err != nil || renamed.Curves() != c {
		t.Errorf("shaping lost the curves: %v", err)
	}
}

func TestNamesThatDifferInCaseOnly(t *testing.T) {
	c, err := ReadCurves(t.Context(), filesOf(t, "log.csv", "id,slip (mm),load (N)\ng1,0,1\nG1,0,2\ng2,0,3\n"), CurveColumns{Key: "id"}, units.Unit{})
	if err != nil {
		t.Fatal(err)
	}
	f, _, err := Read(t.Context(), "x.csv", []byte("id,n\nG1,1\nG2,2\n"), Overrides{})
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
	f, _, err := Read(t.Context(), "x.csv", []byte("id,load (N)\na,1\nb,2\n"), Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	next, err := f.WithNumbers(t.Context(), NumberColumn{Name: "load", Label: "Load", Unit: unitOf(t, "kgf"), Values: []float64{3, math.NaN()}},
		NumberColumn{Name: "stiffness", Label: "Stiffness", Unit: unitOf(t, "N/mm"), Values: []float64{math.NaN(), 0.1}})
	if err != nil {
		t.Fatal(err)
	}
	if c, _ := next.Column("load"); c.Role != Load || c.Header != "Load (kgf)" {
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
	if _, err := f.WithNumbers(t.Context(), NumberColumn{Name: "x", Values: []float64{1}}); err == nil {
		t.Error("a column of another length is taken")
	}
}
