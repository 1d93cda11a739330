package frames_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"breakbook/frames"
	"breakbook/frames/reading"
	"breakbook/frames/units"
)

const gates = `specimen,pins,thickness (mm),density (kg/m3),load (N),failure
t1,none,34,612,640,glue
t2,pair,44,598,1012,wood
t3,none,44,,701,glue
t4,four,34,655,,pins
t10,Single,34,640,850.5,wood
t5,none,34,601,655,
`

func opened(t testing.TB, file string) *frames.Frame {
	t.Helper()
	f, _, err := reading.Read(t.Context(), "gates.csv", []byte(file), reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func unit(t testing.TB, s string) units.Unit {
	t.Helper()
	u, ok := units.Parse(s)
	if !ok {
		t.Fatalf("%q is no unit", s)
	}
	return u
}

func rows(mask []bool) []int {
	var at []int
	for i, m := range mask {
		if m {
			at = append(at, i+1)
		}
	}
	return at
}

func TestAccess(t *testing.T) {
	f := opened(t, gates)
	density, err := f.Numbers("density")
	if err != nil || f.Len() != 6 || density[0] != 612 || !math.IsNaN(density[2]) {
		t.Errorf("density %v, %v", density, err)
	}
	pins, _ := f.Column("pins")
	if want := []string{"Single", "four", "none", "pair"}; !slices.Equal(pins.Levels, want) {
		t.Errorf("levels %v, want %v", pins.Levels, want)
	}
	if codes, err := f.Codes(t.Context(), "failure"); err != nil || !slices.Equal(codes, []int{0, 2, 0, 1, 2, -1}) {
		t.Errorf("failure %v, %v", codes, err)
	}
	if load, ok := f.RoleColumn(frames.Load); !ok || load.Name != "load" {
		t.Errorf("load is %v, %t", load, ok)
	}
	if _, ok := f.RoleColumn(frames.Block); ok {
		t.Error("a block was guessed")
	}
	if f.SpecimenName(4) != "t10" || f.Line(4) != 6 || f.Line(-1) != 0 || f.Line(6) != 0 {
		t.Errorf("row 5 is %q on line %d", f.SpecimenName(4), f.Line(4))
	}
	if s, ok := f.Cell("load", 4); s != "850.5" || !ok {
		t.Errorf("cell %q, %t", s, ok)
	}
	if s, ok := f.Cell("load", 3); s != "" || ok {
		t.Errorf("missing cell %q, %t", s, ok)
	}
	if s, ok := f.Cell("nope", 0); s != "" || ok {
		t.Errorf("no such cell %q, %t", s, ok)
	}
	if anonymous := opened(t, "load\n3\n4\n"); anonymous.SpecimenName(1) != "2" {
		t.Errorf("second row is called %q", anonymous.SpecimenName(1))
	}
}

func TestLevelsAreInNaturalOrder(t *testing.T) {
	f := opened(t, "a,b,c\nt10,x,34 by 44\nt9,-,34 by 9\nt10,y,34 by 44\nt9,x,34 by 9\n")
	a, _ := f.Column("a")
	c, _ := f.Column("c")
	if !slices.Equal(a.Levels, []string{"t9", "t10"}) || !slices.Equal(c.Levels, []string{"34 by 9", "34 by 44"}) {
		t.Errorf("levels %v and %v", a.Levels, c.Levels)
	}
	next, _, err := opened(t, "x,y\n10,1\n-2,1\n9.5,2\n-10,2\n").SetKind(t.Context(), "x", frames.Category)
	if err != nil {
		t.Fatal(err)
	}
	if x, _ := next.Column("x"); !slices.Equal(x.Levels, []string{"-10", "-2", "9.5", "10"}) {
		t.Errorf("levels %v", x.Levels)
	}
}

func TestMasks(t *testing.T) {
	f := opened(t, gates)
	asCategory, lost, err := f.SetKind(t.Context(), "thickness", frames.Category)
	if err != nil || len(lost) > 0 {
		t.Fatal(lost, err)
	}
	is := func(f *frames.Frame, column string, words ...string) []bool {
		m, err := f.Is(column, words)
		must(t, err)
		return m
	}
	compare := func(op string, x float64, u string) []bool {
		m, err := f.Compare("thickness", op, x, unit(t, u))
		must(t, err)
		return m
	}
	number := func(f *frames.Frame, x float64, u string) []bool {
		m, err := f.IsNumber("thickness", []float64{x}, unit(t, u))
		must(t, err)
		return m
	}
	missing, err := f.MissingIn("load")
	must(t, err)
	for _, c := range []struct {
		name string
		got  []bool
		want []int
	}{
		{"one level", is(f, "pins", "none"), []int{1, 3, 6}},
		{"two levels", is(f, "pins", "pair", "four"), []int{2, 4}},
		{"another case", is(f, "pins", "single"), []int{5}},
		{"no such level", is(f, "pins", "nails"), nil},
		{"missing is never picked", is(f, "failure", "glue", "wood", "pins"), []int{1, 2, 3, 4, 5}},
		{"text", is(f, "specimen", "t10", "T5"), []int{5, 6}},
		{"number", is(f, "thickness", "34"), []int{1, 4, 5, 6}},
		{"number with its unit", is(f, "thickness", "34 mm"), []int{1, 4, 5, 6}},
		{"number in another unit", is(f, "thickness", "3.4 cm"), []int{1, 4, 5, 6}},
		{"category of numbers", is(asCategory, "thickness", "34"), []int{1, 4, 5, 6}},
		{"category of numbers with unit", is(asCategory, "thickness", "34 mm", "44.0"), []int{1, 2, 3, 4, 5, 6}},
		{"category of numbers as numbers", number(asCategory, 4.4, "cm"), []int{2, 3}},
		{"number as such", number(f, 0.034, "m"), []int{1, 4, 5, 6}},
		{"at least", compare(">=", 4.4, "cm"), []int{2, 3}},
		{"more than", compare(">", 0.034, "m"), []int{2, 3}},
		{"at most", compare("<=", 34, "mm"), []int{1, 4, 5, 6}},
		{"less than", compare("<", 1.338582677165354331, "inch"), nil},
		{"missing", missing, []int{4}},
	} {
		if got := rows(c.got); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	if m, err := f.Compare("density", ">", 0.605, unit(t, "g/cm3")); err != nil ||
		!slices.Equal(rows(m), []int{1, 4, 5}) {
		t.Errorf("density: %v, %v", rows(m), err)
	}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestMasksAndColumnsRefused(t *testing.T) {
	f := opened(t, gates)
	first := func(_ any, err error) error { return err }
	_, setUnit := f.SetUnit("pins", unit(t, "mm"))
	_, setRole := f.SetRole("pins", "glue")
	_, setLevels := f.SetLevels("pins", []string{"nnoe"})
	_, levelsOfNumbers := f.SetLevels("load", []string{"640"})
	_, _, setKind := f.SetKind(t.Context(), "lod", frames.Text)
	for _, c := range []struct {
		err           error
		code, message string
		hint          string
	}{
		{first(f.Numbers("lod")), "unknown-column", "gates.csv: there is no column lod", "did you mean load?"},
		{first(f.Numbers("pins")), "not-a-number-column", "gates.csv: pins is a category column, not numbers",
			""},
		{first(f.Codes(t.Context(), "load")), "not-a-category", "load is a number column, not a category",
			"treat load as category"},
		{first(f.Is("load", []string{"glue"})), "not-a-number", "gates.csv: load holds numbers, and glue is none", ""},
		{first(f.Compare("load", "=", 3, units.Unit{})), "unknown-relation", "= is none of <, <=, >, >=", ""},
		{first(f.Compare("pins", "<", 3, units.Unit{})), "not-a-number-column",
			"gates.csv: pins is a category column, not numbers", ""},
		{first(f.MissingIn("x")), "unknown-column", "gates.csv: there is no column x", ""},
		{setUnit, "not-a-number-column", "gates.csv: pins is a category column, not numbers", ""},
		{setRole, "unknown-role", "glue is no role of a column", ""},
		{setLevels, "unknown-level", "gates.csv: pins has no level nnoe", "did you mean none?"},
		{levelsOfNumbers, "not-a-category", "load is a number column, not a category", "treat load as category"},
		{setKind, "unknown-column", "gates.csv: there is no column lod", "did you mean load?"},
	} {
		var e *frames.Error
		if !errors.As(c.err, &e) || e.Code != c.code || e.Error() != c.message || e.Hint != c.hint {
			t.Errorf("%v; want %s %q hint %q", c.err, c.code, c.message, c.hint)
		}
	}
	var e *units.Error
	if _, err := f.Compare("thickness", ">", 18, unit(t, "N")); !errors.As(err, &e) ||
		err.Error() != "N is a force and mm is a length" {
		t.Errorf("mm against N: %v", err)
	}
	if _, err := f.Is("thickness", []string{"34 N"}); !errors.As(err, &e) {
		t.Errorf("mm against N: %v", err)
	}
}

func TestSubset(t *testing.T) {
	f := opened(t, gates)
	keep, _ := f.Is("pins", []string{"none", "pair"})
	s := f.Subset(t.Context(), keep)
	want := `specimen text <specimen> "specimen": t1 t2 t3 t5
pins category "pins": none pair none none
thickness number [mm] "thickness": 34 44 44 34
density number [kg/m3] "density": 612 598 ~ 601
load number [N] <load> "load": 640 1012 701 655
failure category <failure> "failure": glue wood glue ~
`
	if got := shown(s); got != want {
		t.Errorf("subset:\n%swant:\n%s", got, want)
	}
	pins, _ := s.Column("pins")
	codes, _ := s.Codes(t.Context(), "pins")
	if !slices.Equal(pins.Levels, []string{"none", "pair"}) || !slices.Equal(codes, []int{0, 1, 0, 0}) ||
		s.Line(3) != 7 {
		t.Errorf("levels %v codes %v line %d", pins.Levels, codes, s.Line(3))
	}
	if before, _ := f.Column("pins"); len(before.Levels) != 4 || f.Len() != 6 {
		t.Errorf("the whole frame changed: %v", before.Levels)
	}
	nothing := s.Subset(t.Context(), make([]bool, 4))
	if n, err := nothing.Numbers("load"); nothing.Len() != 0 || len(n) != 0 || err != nil {
		t.Errorf("an empty subset has %d rows, %v, %v", nothing.Len(), n, err)
	}
}

// Without a specimen column a row keeps its number in a part, and in a part of that.
func TestSubsetKeepsRowNumbers(t *testing.T) {
	f := opened(t, "load\n3\n4\n5\n6\n7\n")
	s := f.Subset(t.Context(), []bool{false, true, true, false, true})
	part := s.Subset(t.Context(), []bool{false, true, true})
	if s.SpecimenName(0) != "2" || s.SpecimenName(2) != "5" || part.SpecimenName(0) != "3" ||
		part.SpecimenName(1) != "5" {
		t.Errorf("called %q, %q and %q, %q", s.SpecimenName(0), s.SpecimenName(2), part.SpecimenName(0),
			part.SpecimenName(1))
	}
}

func TestShaping(t *testing.T) {
	f := opened(t, gates)
	g, err := f.SetLevels("pins", []string{"none", "SINGLE"})
	must(t, err)
	pins, _ := g.Column("pins")
	codes, _ := g.Codes(t.Context(), "pins")
	if !slices.Equal(pins.Levels, []string{"none", "Single", "four", "pair"}) ||
		!slices.Equal(codes, []int{0, 3, 0, 2, 1,
			0}) {
		t.Errorf("levels %v codes %v", pins.Levels, codes)
	}
	g, err = g.SetUnit("load", unit(t, "kgf"))
	must(t, err)
	if load, _ := g.Column("load"); load.Unit.String() != "kgf" {
		t.Errorf("unit %s", load.Unit)
	}
	g, err = g.SetRole("density", frames.Load)
	must(t, err)
	if c, _ := g.RoleColumn(frames.Load); c.Name != "density" {
		t.Errorf("load is now %s", c.Name)
	}
	if old, _ := g.Column("load"); old.Role != frames.NoRole {
		t.Errorf("load kept its role %s", old.Role)
	}
	g, err = g.SetRole("pins", frames.Block)
	must(t, err)
	g, err = g.SetRole("thickness", frames.Block)
	must(t, err)
	if c, _ := g.Column("pins"); c.Role != frames.Block {
		t.Error("a second block took the first one's mark")
	}
	if before := shown(f); before != shown(opened(t, gates)) {
		t.Errorf("the first frame changed:\n%s", before)
	}
}

func TestSetKind(t *testing.T) {
	f := opened(t, "load,tag,big\n64.5 kgf,007,9007199254740993\n632 N,012,9007199254740994\nbroke,007,1\n70,3 mm,2\n")
	g, lost, err := f.SetKind(t.Context(), "load", frames.Number)
	must(t, err)
	load, _ := g.Numbers("load")
	if fmt.Sprint(lost) != "[{4 broke}]" || load[0] != 64.5 || math.Abs(load[1]-64.4460646) > 1e-7 ||
		!math.IsNaN(load[2]) || load[3] != 70 {
		t.Errorf("load %v, lost %v", load, lost)
	}
	if m, _ := g.MissingIn("load"); !slices.Equal(rows(m), []int{3}) {
		t.Errorf("missing %v", rows(m))
	}
	g, lost, err = g.SetKind(t.Context(), "big", frames.Number)
	must(t, err)
	if fmt.Sprint(lost) != "[{2 9007199254740993}]" {
		t.Errorf("lost %v; the first cannot be held exactly, the second can", lost)
	}
	g, lost, err = g.SetKind(t.Context(), "tag", frames.Number)
	must(t, err)
	if tag, _ := g.Numbers("tag"); len(lost) != 0 || fmt.Sprint(tag) != "[7 12 7 3]" {
		t.Errorf("tag %v, lost %v", tag, lost)
	}
	g, _, err = g.SetKind(t.Context(), "tag", frames.Text)
	must(t, err)
	g, _, err = g.SetKind(t.Context(), "tag", frames.Category)
	must(t, err)
	if c, _ := g.Column("tag"); !slices.Equal(c.Levels, []string{"3", "7", "12"}) {
		t.Errorf("levels %v", c.Levels)
	}
	if codes, _ := g.Codes(t.Context(), "tag"); !slices.Equal(codes, []int{1, 2, 1, 0}) {
		t.Errorf("codes %v", codes)
	}
	again, lost, err := g.SetKind(t.Context(), "tag", frames.Category)
	if again != g || lost != nil || err != nil {
		t.Error("the same kind again is not the same frame")
	}
}

func TestSetAside(t *testing.T) {
	f := opened(t, gates)
	g := f.SetAside([]bool{true, false, true}, "knot in the tenon")
	reason, aside := g.Aside(2)
	if !aside || reason != "knot in the tenon" {
		t.Errorf("row 3: %q, %t", reason, aside)
	}
	if _, aside := g.Aside(1); aside {
		t.Error("row 2 is aside")
	}
	if _, aside := f.Aside(2); aside {
		t.Error("the first frame changed")
	}
	if _, aside := g.Subset(t.Context(), []bool{false, true, true}).Aside(1); !aside {
		t.Error("a subset forgot what was aside")
	}
	if _, aside := g.BringBack([]bool{false, false, true}).Aside(2); aside {
		t.Error("row 3 did not come back")
	}
}
