package curvefiles

import (
	"errors"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/frames/units"
)

func TestReadingsOfSeveralSpecimensAreSorted(t *testing.T) {
	paths := filesOf(t, "log.csv", "ID;Slip (mm);Load "+
		"(kgf)\na;0,0;1\nb;0,0;2\na;0,5;3\n;0,6;4\nb;x;5\nb;0,7;\na;0,25;6\n")
	c, _, err := Read(t.Context(), paths, Columns{Key: "id"}, unitOf(t, "N"))
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
	if c.Len() != 2 || c.Readings() != 4 || c.Skipped != 3 || c.LoadUnit != unitOf(t, "N") || c.SlipUnit != unitOf(t,
		"mm") {
		t.Errorf("%d curves, %d readings, %d skipped, %s, %s", c.Len(), c.Readings(), c.Skipped, c.LoadUnit, c.SlipUnit)
	}
	if !slices.ContainsFunc(c.Remarks, func(r frames.FileRemark) bool {
		return r.File == paths[0] &&
			r.Code == "stray-word"
	}) {
		t.Errorf("the stray word is not told: %+v", c.Remarks)
	}
}

func TestFilesOfOneSpecimenGoByTheirNames(t *testing.T) {
	paths := filesOf(t, "A-1.csv", "travel in,force lbf\n0,0\n1,10\n", "A-2.csv", "Slip [mm],F (N)\n0,0\n25.4,5\n")
	c, _, err := Read(t.Context(), paths, Columns{Key: "joint"}, units.Unit{})
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
		columns := Columns{Key: "id"}
		paths := []string{filepath.Join(t.TempDir(), "none.csv")}
		if texts != nil {
			paths = filesOf(t, texts...)
		}
		if code == "wrong-dimension" {
			columns.Slip, columns.Load = "slip", "load"
		}
		_, _, err := Read(t.Context(), paths, columns, units.Unit{})
		var e *frames.Error
		if !errors.As(err, &e) || e.Code != code || e.File == "" || !strings.Contains(e.Error(), e.File) {
			t.Errorf("%s: %v", code, err)
		}
	}
}
