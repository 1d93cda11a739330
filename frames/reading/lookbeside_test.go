package reading

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/units"
)

// TestWithoutTheLook: the CSV alone, read by the ordinary reader, has the numbers to
// the last bit, the units and the names.
func TestWithoutTheLook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.OneOf(rapid.Float64(), rapid.SampledFrom(exactNumbers[:12])), 2, 20).Draw(t,
			"values")
		unit := rapid.SampledFrom([]string{"N", "kgf", "kg/m3", "degC", "percent", "N·mm", "mm2", "kN/mm"}).Draw(t,
			"unit")
		u, _ := units.Parse(unit)
		b := frames.NewBuilder([]frames.Column{{Name: "load", Kind: frames.Number, Unit: u},
			{Name: "wood", Kind: frames.Category}}, make([]int32, len(values)),
			notation.Marks{Decimal: '.'}, notation.NoDates, &frames.Reading{})
		b.Numbers(t.Context(), 0, values, nil)
		b.Words(t.Context(), 1, make([]int, len(values)), []string{"oak"}, nil)
		f := b.Frame()
		w, err := f.Write(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		g, _, err := Read(context.Background(), "x.csv", w.CSV, Overrides{})
		if err != nil {
			t.Fatalf("%v\n%s", err, w.CSV)
		}
		got, err := g.Numbers("load")
		if err != nil {
			t.Fatalf("%v\n%s", err, w.CSV)
		}
		for i, x := range values {
			if math.Float64bits(got[i]) != math.Float64bits(x) {
				t.Fatalf("%v, want %v in\n%s", got[i], x, w.CSV)
			}
		}
		if c, _ := g.Column("load"); c.Unit != u {
			t.Fatalf("unit %s, want %s in\n%s", c.Unit, u, w.CSV)
		}
	})
}

// written puts a series with something of everything in a folder and returns its path.
func written(t *testing.T) (path string, f *frames.Frame) {
	t.Helper()
	f, _, err := Read(context.Background(), "x.csv",
		[]byte("No;Break load (kgf);pins;thickness "+
			"(mm);remarks\n1;12,5;pair;34;\"=HYPERLINK(\"\"x\"\")\"\n2;n/a;none;44;\n3;-0,25;pair;34;-1\n"),
		Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	f, _, err = f.SetKind(t.Context(), "thickness", frames.Category)
	if err == nil {
		f, err = f.SetLevels("pins", []string{"pair", "none"})
	}
	if err != nil {
		t.Fatal(err)
	}
	f = f.SetAside([]bool{false, true}, "a knot, seen late")
	w, err := f.Write(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "out.csv")
	for name, data := range map[string][]byte{path: w.CSV, frames.LookPath(path): w.Look} {
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return path, f
}

// sameWritten compares two frames by what they are as files.
func sameWritten(t *testing.T, got, want *frames.Frame) {
	t.Helper()
	a, err := got.Write(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	b, err := want.Write(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if string(a.CSV) != string(b.CSV) || string(a.Look) != string(b.Look) {
		t.Fatalf("%s%s\nwant\n%s%s", a.CSV, a.Look, b.CSV, b.Look)
	}
}

func TestOpenTakesTheLookBesideAFile(t *testing.T) {
	path, want := written(t)
	f, r, err := Open(context.Background(), path, Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Look != "out.look.json" || len(r.Remarks) > 0 || !slices.Equal(r.MissingWords, []string{"n/a"}) {
		t.Fatalf("%+v", r)
	}
	sameWritten(t, f, want)
	if f.Source().Path != path || f.Source().SHA256 == "" || f.Line(2) != 4 {
		t.Fatalf("%+v line %d", f.Source(), f.Line(2))
	}
	if used := f.Used(); len(used) != 1 || used[0].Path != frames.LookPath(path) || used[0].SHA256 == "" {
		t.Errorf("the look is not among the files used: %+v", used)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if want := "No,Break load (kgf),pins,thickness " +
		"(mm),remarks\n1,12.5,pair,34,\"'=HYPERLINK(\"\"x\"\")\"\n2,,none,44,\n" +
		"3,-0.25,pair,34,'-1\n"; string(text) != want {
		t.Fatalf("%s\nwant\n%s", text, want)
	}
}

func TestALookThatDoesNotFitIsNotUsed(t *testing.T) {
	edit := func(from, to string) func(string) string {
		return func(look string) string { return strings.Replace(look, from, to, 1) }
	}
	for name, c := range map[string]struct {
		change func(look string) string
		code   string
	}{
		"another file's":   {edit(`"sha256":"`, `"sha256":"0`), "look-other-file"},
		"cut short":        {func(s string) string { return s[:len(s)/2] }, "look-broken"},
		"nothing":          {func(string) string { return "" }, "look-broken"},
		"null":             {func(string) string { return "null" }, "look-broken"},
		"two of them":      {func(s string) string { return s + s }, "look-broken"},
		"another form":     {edit(`"breakbook_look":1`, `"breakbook_look":2`), "look-broken"},
		"an unknown word":  {edit(`"rows":3`, `"run":"rm -rf","rows":3`), "look-broken"},
		"other rows":       {edit(`"rows":3`, `"rows":2`), "look-broken"},
		"endless rows":     {edit(`"rows":3`, `"rows":9000000000`), "look-broken"},
		"an unknown kind":  {edit(`"kind":"number"`, `"kind":"formula"`), "look-broken"},
		"words as numbers": {edit(`"kind":"text"`, `"kind":"number"`), "look-broken"},
		"an unknown unit":  {edit(`"unit":"kgf"`, `"unit":"furlong"`), "look-broken"},
		"an unknown role":  {edit(`"role":"load"`, `"role":"boss"`), "look-broken"},
		"a role twice": {edit(`"label":"pins","header":"pins","kind":"category"`,
			`"label":"pins","header":"pins","kind":"category","role":"load"`), "look-broken"},
		"a name twice":      {edit(`"name":"pins"`, `"name":"remarks"`), "look-broken"},
		"no name":           {edit(`"name":"pins"`, `"name":""`), "look-broken"},
		"a level too few":   {edit(`["pair","none"]`, `["pair"]`), "look-broken"},
		"a level twice":     {edit(`["pair","none"]`, `["pair","none","none"]`), "look-broken"},
		"no such row":       {edit(`"rows":[2]`, `"rows":[4]`), "look-broken"},
		"a row twice":       {edit(`"rows":[2]`, `"rows":[2,2]`), "look-broken"},
		"no reason":         {edit(`a knot, seen late`, ``), "look-broken"},
		"nothing to escape": {edit(`"escaped":[1,3]`, `"escaped":[2,3]`), "look-broken"},
		"another text":      {edit(`"escaped":[1,3]`, `"escaped":[1,3],"exact":[{"row":2,"text":"x"}]`), "look-broken"},
	} {
		path, _ := written(t)
		look, err := os.ReadFile(frames.LookPath(path))
		if err != nil {
			t.Fatal(err)
		}
		changed := c.change(string(look))
		if changed == string(look) {
			t.Fatalf("%s changes nothing in %s", name, look)
		}
		if err := os.WriteFile(frames.LookPath(path), []byte(changed), 0o666); err != nil {
			t.Fatal(err)
		}
		f, r, err := Open(context.Background(), path, Overrides{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if r.Look != "" || len(r.Remarks) == 0 || r.Remarks[0].Code != c.code || r.Remarks[0].Word != "out.look.json" {
			t.Errorf("%s: look %q, remarks %+v", name, r.Look, r.Remarks)
		}
		if _, aside := f.Aside(1); aside || f.Len() != 3 {
			t.Errorf("%s: half of the look was used", name)
		}
	}
}

// TestAnEndlessLookIsNotRead: a look far longer than its file could need is not even
// taken into memory.
func TestAnEndlessLookIsNotRead(t *testing.T) {
	path, _ := written(t)
	if err := os.Truncate(frames.LookPath(path), 1<<40); err != nil {
		t.Skipf("no sparse files here: %v", err)
	}
	_, r, err := Open(context.Background(), path, Overrides{})
	if err != nil || r.Look != "" || r.Remarks[0].Code != "look-broken" {
		t.Fatalf("%v %+v", err, r)
	}
}

func TestOverridesPassTheLookBy(t *testing.T) {
	path, _ := written(t)
	f, r, err := Open(context.Background(), path, Overrides{Missing: []string{"none"}})
	if err != nil || r.Look != "" || r.Remarks[0].Code != "look-overridden" {
		t.Fatalf("%v %+v", err, r)
	}
	if _, ok := f.Cell("pins", 1); ok {
		t.Error("none is not missing")
	}
}

// TestRolesOfEarlierLooks: a look that calls a given column found opens as it was meant, and
// several columns of one series may be given.
func TestRolesOfEarlierLooks(t *testing.T) {
	path, _ := written(t)
	look, err := os.ReadFile(frames.LookPath(path))
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.Replace(string(look), `"label":"pins","header":"pins","kind":"category"`,
		`"label":"pins","header":"pins","kind":"category","role":"found"`, 1)
	changed = strings.Replace(changed, `"role":"load"`, `"role":"found"`, 1)
	if err := os.WriteFile(frames.LookPath(path), []byte(changed), 0o666); err != nil {
		t.Fatal(err)
	}
	f, r, err := Open(context.Background(), path, Overrides{})
	if err != nil || r.Look == "" {
		t.Fatalf("%v %+v", err, r)
	}
	var given []string
	for _, c := range f.Columns() {
		if c.Role == frames.Given {
			given = append(given, c.Name)
		}
	}
	if len(given) != 2 {
		t.Errorf("given are %v", given)
	}
}
