package frames

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/go-gota/gota/series"
	"pgregory.net/rapid"

	"breakbook/frames/notation"
	"breakbook/frames/units"
)

func reopened(t interface{ Fatalf(string, ...any) }, w *Written) *Frame {
	f, code := Reopen(context.Background(), w.Look, w.CSV)
	if f == nil {
		t.Fatalf("%s\n%s\n%s", code, w.CSV, w.Look)
	}
	return f
}

// sameFrame compares everything of two frames but where they came from.
func sameFrame(t interface{ Fatalf(string, ...any) }, got, want *Frame) {
	if got.Len() != want.Len() || got.decimalMark() != want.decimalMark() || !slices.Equal(got.absent, want.absent) ||
		got.thousands != want.thousands || got.dates != want.dates {
		t.Fatalf("%d rows, decimal %c, missing %q; want %d, %c, %q", got.Len(), got.decimalMark(), got.absent,
			want.Len(), want.decimalMark(), want.absent)
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
var nasty = []string{"", " ", "=1+1", "+49 30", "-", "-5", "@x", "\tx", "\rx", "\r\n", "a\r\nb", "\n", "'", "'=x",
	"''", `"`, `a"b`, "a,b", "NA", "NaN", "<nil>",
	"007", "9007199254740993", "1,5", "34", "34 mm", "größe", "日本", "é", "e\u0301", "\ufeffx", "\u00a0x\u00a0", "\x00",
	"\u202ex", "💥", "-0", "1e-300", "x;y|z", "#N/A"}

func drawText(t *rapid.T, what string) string {
	if rapid.Bool().Draw(t, "nasty") {
		return rapid.SampledFrom(nasty).Draw(t, what)
	}
	return rapid.String().Draw(t, what)
}

var exactNumbers = []float64{0, math.Copysign(0, -1), 1e-300, 5e-324, math.MaxFloat64, -1e300, 1 << 53, 1<<53 + 2,
	1e15, 123456789012345678, 0.1, 1.0 / 3, math.Inf(1), math.Inf(-1)}

// drawFrame makes a frame of any columns there can be, not only those a file gives.
func drawFrame(t *rapid.T) *Frame {
	rows := rapid.IntRange(1, 8).Draw(t, "rows")
	f := &Frame{at: map[string]int{}, decimal: rapid.SampledFrom([]byte{'.', ',', 0}).Draw(t, "decimal"),
		thousands: rapid.SampledFrom([]byte{0, ' ', '\''}).Draw(t, "thousands"),
		dates: rapid.SampledFrom([]notation.DateOrder{notation.NoDates, notation.YearFirst, notation.DayFirst,
			notation.MonthFirst}).Draw(t, "dates"),
		absent: rapid.SliceOfN(rapid.SampledFrom([]string{"NA", "-", "#N/A", "-999"}), 0, 2).Draw(t, "missing words"),
		lines:  make([]int32, rows)}
	roled := map[Role]bool{}
	for i, name := range rapid.SliceOfNDistinct(rapid.StringMatching(`[a-zé][a-z0-9_]{0,6}`), 1, 5,
		rapid.ID[string]).Draw(t, "names") {
		u, _ := units.Parse(rapid.SampledFrom([]string{"", "N", "kgf", "kg/m3", "degC", "percent", "N·mm"}).Draw(t,
			"unit"))
		h := held{Column: Column{Name: name, Unit: u, Kind: Kind(rapid.IntRange(0, 2).Draw(t, "kind")),
			Label: drawText(t, "label"), Header: drawText(t, "header"), Difference: rapid.Bool().Draw(t, "difference")}}
		if r := rapid.SampledFrom(roles).Draw(t, "role"); r == Block || !roled[r] {
			h.Role, roled[r] = r, true
		}
		if rapid.Bool().Draw(t, "with missing") {
			h.missing = rapid.SliceOfN(rapid.Bool(), rows, rows).Draw(t, "missing")
		}
		f.at[name] = i
		f.columns = append(f.columns, drawCells(t, &h, rows))
		f.held = append(f.held, h)
	}
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
		levels := rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) string { return drawText(t, "level") }), 1, 5,
			rapid.ID[string]).Draw(t, "levels")
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

// FuzzLook asks of any look for a fixed CSV that it is refused, or gives a frame of
// that CSV whose every cell can be read and which comes back from being written.
func FuzzLook(f *testing.F) {
	data := []byte("a,b,c\n1,'=x,p\n,,q\n2,-,p\n")
	for _, s := range []string{
		`{"breakbook_look":1,"sha256":"","rows":3,"decimal":".","columns":[{"name":"a","label":"A","header":"a",` +
			`"kind":"number","unit":"N","role":"load"},` +
			`{"name":"b","label":"b","header":"b","kind":"text","escaped":[1],"exact":[{"row":2,"text":""}]},` +
			`{"name":"c","label":"c","header":"c","kind":"category","levels":["q","p","r"]}],` +
			`"aside":[{"because":"x","rows":[1]}]}`,
		`{"breakbook_look":1,"rows":3,"decimal":",","columns":[{"name":"a","kind":"text"},{"name":"b",` +
			`"kind":"text"},{"name":"c","kind":"text"}]}`,
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
