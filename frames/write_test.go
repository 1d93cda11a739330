package frames

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/go-gota/gota/dataframe"
	"github.com/go-gota/gota/series"
	"pgregory.net/rapid"

	"breakbook/frames/notation"
	"breakbook/frames/units"
)

func reopened(t interface{ Fatalf(string, ...any) }, w *Written) *Frame {
	f, code, _ := Reopen(context.Background(), w.Look, w.CSV)
	if f == nil {
		t.Fatalf("%s\n%s\n%s", code, w.CSV, w.Look)
	}
	return f
}

// sameFrame compares everything of two frames but where they came from.
func sameFrame(t interface{ Fatalf(string, ...any) }, got, want *Frame) {
	if got.Len() != want.Len() || got.decimalMark() != want.decimalMark() || !slices.Equal(got.absent, want.absent) || got.thousands != want.thousands || got.dates != want.dates {
		t.Fatalf("%d rows, decimal %c, missing %q; want %d, %c, %q", got.Len(), got.decimalMark(), got.absent, want.Len(), want.decimalMark(), want.absent)
	}
	a, b := fmt.Sprintf("%+v", got.Columns()), fmt.Sprintf("%+v", want.Columns())
	if a != b {
		t.Fatalf("columns\n%s\nwant\n%s", a, b)
	}
	for _, c := range want.Columns() {
		for row := range want.Len() {
			x, ok := got.Cell(c.Name, row)
			y, there := want.Cell(c.Name, row)
			if x != y || ok != there {
				t.Fatalf("%s row %d: %q, %t; want %q, %t", c.Name, row+1, x, ok, y, there)
			}
		}
		if c.Kind == Number {
			x, _ := got.Numbers(c.Name)
			y, _ := want.Numbers(c.Name)
			for row := range x {
				if math.Float64bits(x[row]) != math.Float64bits(y[row]) && !(math.IsNaN(x[row]) && math.IsNaN(y[row])) {
					t.Fatalf("%s row %d: %v, want %v", c.Name, row+1, x[row], y[row])
				}
			}
		}
	}
	for row := range want.Len() {
		x, gone := got.Aside(row)
		y, away := want.Aside(row)
		if x != y || gone != away {
			t.Fatalf("row %d aside %q, want %q", row+1, x, y)
		}
	}
}

// nasty are texts that have gone wrong in some file.
var nasty = []string{"", " ", "=1+1", "+49 30", "-", "-5", "@x", "\tx", "\rx", "\r\n", "a\r\nb", "\n", "'", "'=x", "''", `"`, `a"b`, "a,b", "NA", "NaN", "<nil>",
	"007", "9007199254740993", "1,5", "34", "34 mm", "größe", "日本", "é", "e\u0301", "\ufeffx", "\u00a0x\u00a0", "\x00", "\u202ex", "💥", "-0", "1e-300", "x;y|z", "#N/A"}

func drawText(t *rapid.T, what string) string {
	if rapid.Bool().Draw(t, "nasty") {
		return rapid.SampledFrom(nasty).Draw(t, what)
	}
	return rapid.String().Draw(t, what)
}

var exactNumbers = []float64{0, math.Copysign(0, -1), 1e-300, 5e-324, math.MaxFloat64, -1e300, 1 << 53, 1<<53 + 2, 1e15, 123456789012345678, 0.1, 1.0 / 3, math.Inf(1), math.Inf(-1)}

// drawFrame makes a frame of any columns there can be, not only those a file gives.
func drawFrame(t *rapid.T) *Frame {
	rows := rapid.IntRange(1, 8).Draw(t, "rows")
	f := &Frame{at: map[string]int{}, decimal: rapid.SampledFrom([]byte{'.', ',', 0}).Draw(t, "decimal"),
		thousands: rapid.SampledFrom([]byte{0, ' ', '\''}).Draw(t, "thousands"), dates: rapid.SampledFrom([]notation.DateOrder{notation.NoDates, notation.YearFirst, notation.DayFirst, notation.MonthFirst}).Draw(t, "dates"),
		absent: rapid.SliceOfN(rapid.SampledFrom([]string{"NA", "-", "#N/A", "-999"}), 0, 2).Draw(t, "missing words"), lines: make([]int32, rows)}
	roled := map[Role]bool{}
	var all []series.Series
	for i, name := range rapid.SliceOfNDistinct(rapid.StringMatching(`[a-zé][a-z0-9_]{0,6}`), 1, 5, rapid.ID[string]).Draw(t, "names") {
		u, _ := units.Parse(rapid.SampledFrom([]string{"", "N", "kgf", "kg/m3", "degC", "percent", "N·mm"}).Draw(t, "unit"))
		h := held{Column: Column{Name: name, Unit: u, Kind: Kind(rapid.IntRange(0, 2).Draw(t, "kind")),
			Label: drawText(t, "label"), Header: drawText(t, "header"), Difference: rapid.Bool().Draw(t, "difference")}}
		if r := rapid.SampledFrom(roles).Draw(t, "role"); r == Block || !roled[r] {
			h.Role, roled[r] = r, true
		}
		if rapid.Bool().Draw(t, "with missing") {
			h.missing = rapid.SliceOfN(rapid.Bool(), rows, rows).Draw(t, "missing")
		}
		f.at[name] = i
		all = append(all, drawCells(t, &h, rows))
		f.held = append(f.held, h)
	}
	f.df = dataframe.New(all...)
	if rapid.Bool().Draw(t, "some aside") {
		f = f.SetAside(rapid.SliceOfN(rapid.Bool(), rows, rows).Draw(t, "aside"), "damp, "+drawText(t, "reason"))
		f = f.SetAside(rapid.SliceOfN(rapid.Bool(), rows, rows).Draw(t, "aside too"), "knot")
	}
	return f
}

func drawCells(t *rapid.T, h *held, rows int) series.Series {
	switch h.Kind {
	case Number:
		values := make([]float64, rows)
		for row := range values {
			if values[row] = rapid.Float64().Draw(t, "number"); rapid.Bool().Draw(t, "odd number") {
				values[row] = rapid.SampledFrom(exactNumbers).Draw(t, "number")
			}
			if h.gone(row) {
				values[row] = math.NaN()
			}
		}
		return series.New(values, series.Float, h.Name)
	case Category: // levels that no row has among them
		levels := rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) string { return drawText(t, "level") }), 1, 5, rapid.ID[string]).Draw(t, "levels")
		codes := make([]int, rows)
		for row := range codes {
			if codes[row] = rapid.IntRange(0, len(levels)-1).Draw(t, "code"); h.gone(row) {
				codes[row] = -1
			}
		}
		h.words = levels
		h.setOrder(rapid.Permutation(levels).Draw(t, "order"))
		return series.New(codes, series.Int, h.Name)
	}
	texts := make([]string, rows)
	for row := range texts {
		if texts[row] = drawText(t, "text"); h.gone(row) {
			texts[row] = ""
		}
	}
	return series.New(texts, series.String, h.Name)
}

func TestWrittenAndOpenedAgainIsEqual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFrame(t)
		w, err := f.Write(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		sameFrame(t, reopened(t, w), f)
		again, err := reopened(t, w).Write(t.Context())
		if err != nil || string(again.CSV) != string(w.CSV) || string(again.Look) != string(w.Look) {
			t.Fatalf("%v\n%s\n%s", err, again.CSV, again.Look)
		}
		noFormula(t, f, w)
	})
}

// noFormula reads the CSV as a spreadsheet would and asks that no text cell starts as
// a formula does.
func noFormula(t *rapid.T, f *Frame, w *Written) {
	l, err := parseLook(w.Look)
	if err != nil {
		t.Fatal(err)
	}
	cells, _, err := l.cells(context.Background(), w.CSV)
	if err != nil {
		t.Fatal(err)
	}
	header, err := csv.NewReader(bytes.NewReader(w.CSV)).Read()
	if err != nil {
		t.Fatal(err)
	}
	for _, cell := range header {
		if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
			t.Fatalf("the header %q is a formula", cell)
		}
	}
	for i, c := range f.Columns() {
		for row, cell := range cells[i] {
			if c.Kind != Number && cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				t.Fatalf("%s row %d is %q", c.Name, row+1, cell)
			}
		}
	}
}

// TestWithoutTheLook: the CSV alone, read by the ordinary reader, has the numbers to
// the last bit, the units and the names.
func TestWithoutTheLook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.OneOf(rapid.Float64(), rapid.SampledFrom(exactNumbers[:12])), 2, 20).Draw(t, "values")
		unit := rapid.SampledFrom([]string{"N", "kgf", "kg/m3", "degC", "percent", "N·mm", "mm2", "kN/mm"}).Draw(t, "unit")
		f, _, err := Read(context.Background(), "x.csv", []byte("load,wood\n1,oak\n2,ash\n"), Overrides{})
		if err != nil {
			t.Fatal(err)
		}
		u, _ := units.Parse(unit)
		f.lines, f.df = make([]int32, len(values)), dataframe.New(series.New(values, series.Float, "load"), series.New(make([]int, len(values)), series.Int, "wood"))
		f, err = f.SetUnit("load", u)
		if err != nil {
			t.Fatal(err)
		}
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
func written(t *testing.T) (path string, f *Frame) {
	t.Helper()
	f, _, err := Read(context.Background(), "x.csv", []byte("No;Break load (kgf);pins;thickness (mm);remarks\n1;12,5;pair;34;\"=HYPERLINK(\"\"x\"\")\"\n2;n/a;none;44;\n3;-0,25;pair;34;-1\n"), Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	f, _, err = f.SetKind(t.Context(), "thickness", Category)
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
	for name, data := range map[string][]byte{path: w.CSV, LookPath(path): w.Look} {
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return path, f
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
	sameFrame(t, f, want)
	if f.Source().Path != path || f.Source().SHA256 == "" || f.Line(2) != 4 {
		t.Fatalf("%+v line %d", f.Source(), f.Line(2))
	}
	if used := f.Used(); len(used) != 1 || used[0].Path != LookPath(path) || used[0].SHA256 == "" {
		t.Errorf("the look is not among the files used: %+v", used)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if want := "No,Break load (kgf),pins,thickness (mm),remarks\n1,12.5,pair,34,\"'=HYPERLINK(\"\"x\"\")\"\n2,,none,44,\n3,-0.25,pair,34,'-1\n"; string(text) != want {
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
		"another file's":    {edit(`"sha256":"`, `"sha256":"0`), "look-other-file"},
		"cut short":         {func(s string) string { return s[:len(s)/2] }, "look-broken"},
		"nothing":           {func(string) string { return "" }, "look-broken"},
		"null":              {func(string) string { return "null" }, "look-broken"},
		"two of them":       {func(s string) string { return s + s }, "look-broken"},
		"another form":      {edit(`"breakbook_look":1`, `"breakbook_look":2`), "look-broken"},
		"an unknown word":   {edit(`"rows":3`, `"run":"rm -rf","rows":3`), "look-broken"},
		"other rows":        {edit(`"rows":3`, `"rows":2`), "look-broken"},
		"endless rows":      {edit(`"rows":3`, `"rows":9000000000`), "look-broken"},
		"an unknown kind":   {edit(`"kind":"number"`, `"kind":"formula"`), "look-broken"},
		"words as numbers":  {edit(`"kind":"text"`, `"kind":"number"`), "look-broken"},
		"an unknown unit":   {edit(`"unit":"kgf"`, `"unit":"furlong"`), "look-broken"},
		"an unknown role":   {edit(`"role":"load"`, `"role":"boss"`), "look-broken"},
		"a role twice":      {edit(`"label":"pins","header":"pins","kind":"category"`, `"label":"pins","header":"pins","kind":"category","role":"load"`), "look-broken"},
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
		look, err := os.ReadFile(LookPath(path))
		if err != nil {
			t.Fatal(err)
		}
		changed := c.change(string(look))
		if changed == string(look) {
			t.Fatalf("%s changes nothing in %s", name, look)
		}
		if err := os.WriteFile(LookPath(path), []byte(changed), 0o666); err != nil {
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
	if err := os.Truncate(LookPath(path), 1<<40); err != nil {
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

// FuzzLook asks of any look for a fixed CSV that it is refused, or gives a frame of
// that CSV whose every cell can be read and which comes back from being written.
func FuzzLook(f *testing.F) {
	data := []byte("a,b,c\n1,'=x,p\n,,q\n2,-,p\n")
	for _, s := range []string{
		`{"breakbook_look":1,"sha256":"","rows":3,"decimal":".","columns":[{"name":"a","label":"A","header":"a","kind":"number","unit":"N","role":"load"},` +
			`{"name":"b","label":"b","header":"b","kind":"text","escaped":[1],"exact":[{"row":2,"text":""}]},{"name":"c","label":"c","header":"c","kind":"category","levels":["q","p","r"]}],"aside":[{"because":"x","rows":[1]}]}`,
		`{"breakbook_look":1,"rows":3,"decimal":",","columns":[{"name":"a","kind":"text"},{"name":"b","kind":"text"},{"name":"c","kind":"text"}]}`,
		`{}`, `null`, `[]`, `{"rows":-1}`, `{"columns":[{"exact":[{"row":1e9}]}]}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		l, err := parseLook(text)
		if err != nil {
			return
		}
		frame, err := l.frame(context.Background(), data)
		if err != nil {
			return
		}
		if frame.Len() != 3 || len(frame.Columns()) != 3 {
			t.Fatalf("%d rows of %d columns by %s", frame.Len(), len(frame.Columns()), text)
		}
		for row := range 3 {
			frame.SpecimenName(row)
			frame.Aside(row)
			for _, c := range frame.Columns() {
				frame.Cell(c.Name, row)
			}
		}
		w, err := frame.Write(t.Context())
		if err != nil {
			t.Fatalf("%v by %s", err, text)
		}
		if !json.Valid(w.Look) {
			t.Fatalf("%s by %s", w.Look, text)
		}
		sameFrame(t, reopened(t, w), frame)
	})
}

// TestRolesOfEarlierLooks: a look that calls a given column found opens as it was meant, and
// several columns of one series may be given.
func TestRolesOfEarlierLooks(t *testing.T) {
	path, _ := written(t)
	look, err := os.ReadFile(LookPath(path))
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.Replace(string(look), `"label":"pins","header":"pins","kind":"category"`,
		`"label":"pins","header":"pins","kind":"category","role":"found"`, 1)
	changed = strings.Replace(changed, `"role":"load"`, `"role":"found"`, 1)
	if err := os.WriteFile(LookPath(path), []byte(changed), 0o666); err != nil {
		t.Fatal(err)
	}
	f, r, err := Open(context.Background(), path, Overrides{})
	if err != nil || r.Look == "" {
		t.Fatalf("%v %+v", err, r)
	}
	var given []string
	for _, c := range f.Columns() {
		if c.Role == Given {
			given = append(given, c.Name)
		}
	}
	if len(given) != 2 {
		t.Errorf("given are %v", given)
	}
}
