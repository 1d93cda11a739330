package reading

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	utf16 "golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"

	"breakbook/frames"
	"breakbook/frames/reading/decoding"
	"breakbook/frames/workbook"
)

// dialect is one way of writing a table.
type dialect struct {
	separator, decimal, thousands string
	lineEnd                       string
	encoding                      string
	quoteAll, packed              bool
	preamble, units               bool
}

func (d dialect) cell(s string) string {
	if d.quoteAll && s != "" || strings.ContainsAny(s, "\"\r\n"+d.separator) || strings.TrimSpace(s) != s {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

// number writes a number with the dialect's marks.
func (d dialect) number(x float64) string {
	format := byte('f')
	if a := math.Abs(x); a != 0 && (a < 1e-5 || a >= 1e15) {
		format = 'e'
	}
	text := strconv.FormatFloat(x, format, -1, 64)
	whole, rest := text, ""
	if i := strings.IndexAny(text, ".e"); i >= 0 {
		whole, rest = text[:i], text[i:]
	}
	start := len(whole) - len(strings.TrimLeft(whole, "-"))
	if !strings.Contains(rest, "e") {
		for i := len(whole) - 3; i > start; i -= 3 {
			whole = whole[:i] + d.thousands + whole[i:]
		}
	}
	return whole + strings.Replace(rest, ".", d.decimal, 1)
}

// file turns the text of a table into a file's bytes.
func (d dialect) file(text string) ([]byte, error) {
	var e encoding.Encoding
	switch d.encoding {
	case "UTF-8":
		e = encoding.Nop
	case "marked UTF-8":
		e, text = encoding.Nop, decoding.ByteOrderMark+text
	case "UTF-16LE":
		e = utf16.UTF16(utf16.LittleEndian, utf16.IgnoreBOM)
	case "marked UTF-16BE":
		e = utf16.UTF16(utf16.BigEndian, utf16.UseBOM)
	case "Windows-1252":
		e = charmap.Windows1252
	}
	data, err := e.NewEncoder().Bytes([]byte(text))
	if err != nil || !d.packed {
		return data, err
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	err = z.Close()
	return packed.Bytes(), err
}

func drawDialect(t *rapid.T) dialect {
	d := dialect{
		separator: rapid.SampledFrom([]string{",", ";", "\t", "|"}).Draw(t, "separator"),
		decimal:   rapid.SampledFrom([]string{".", ","}).Draw(t, "decimal mark"),
		thousands: rapid.SampledFrom([]string{"", "", ",", ".", " ", "\u202f", "'", "’"}).Draw(t, "thousands mark"),
		lineEnd:   rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end"),
		encoding: rapid.SampledFrom([]string{"UTF-8", "marked UTF-8", "UTF-16LE", "marked UTF-16BE",
			"Windows-1252"}).Draw(t, "encoding"),
		quoteAll: rapid.Bool().Draw(t, "quote all"),
		packed:   rapid.Bool().Draw(t, "packed"),
		preamble: rapid.Bool().Draw(t, "preamble"),
		units:    rapid.Bool().Draw(t, "units"),
	}
	if d.thousands == d.decimal || d.encoding == "Windows-1252" && d.thousands == "\u202f" {
		d.thousands = ""
	}
	return d
}

// TestAnyTableInAnyDialectOpensEqual writes numbers and words as each dialect does
// and asks for the same numbers, bit by bit, and the same words back.
func TestAnyTableInAnyDialectOpensEqual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDialect(t)
		rows := rapid.IntRange(1, 40).Draw(t, "rows")
		// The first number shows both marks.
		numbers := append([]float64{1234567.5},
			rapid.SliceOfN(rapid.Float64().Filter(func(x float64) bool {
				return math.Abs(x) < 1e15 ||
					x != math.Trunc(x)
			}),
				rows-1, rows-1).Draw(t, "numbers")...)
		missing := rapid.SliceOfN(rapid.Bool(), rows, rows).Draw(t, "missing")
		missing[0] = false
		pool := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-zäß][a-z "'|;,\n\t_.-]{0,8}[a-zé]`), 1, 6,
			rapid.ID[string]).Draw(t, "pool")
		for _, w := range pool {
			if newAbsence(nil).is(w) {
				t.Skip("a word that means missing")
			}
		}
		words := rapid.SliceOfN(rapid.SampledFrom(pool), rows, rows).Draw(t, "words")
		var b strings.Builder
		line := func(cells ...string) {
			for i, c := range cells {
				if i > 0 {
					b.WriteString(d.separator)
				}
				b.WriteString(d.cell(c))
			}
			b.WriteString(d.lineEnd)
		}
		if d.preamble {
			line("Rig in the shed")
			b.WriteString(d.lineEnd)
		}
		line("width", "wood", "x")
		if d.units {
			line("mm", "", "-")
		}
		for i, x := range numbers {
			text := ""
			if !missing[i] {
				text = d.number(x)
			}
			line(text, words[i], "1")
		}
		data, err := d.file(b.String())
		if err != nil {
			t.Fatal(err)
		}
		f, r, err := Read(context.Background(), "x.csv", data, Overrides{})
		if err != nil {
			t.Fatalf("%v in %q", err, b.String())
		}
		odd := slices.DeleteFunc(slices.Clone(r.Remarks), func(m frames.Remark) bool {
			return m.Code == "preamble" && d.preamble || m.Code == "decoded-windows-1252" &&
				d.encoding == "Windows-1252"
		})
		if f.Len() != rows || len(odd) > 0 {
			t.Fatalf("%d rows, remarks %v in %q", f.Len(), odd, b.String())
		}
		if c, _ := f.Column("width"); d.units != (c.Unit.String() == "mm") {
			t.Fatalf("unit %s in %q", c.Unit, b.String())
		}
		got, err := f.Numbers("width")
		if err != nil {
			t.Fatalf("%v in %q", err, b.String())
		}
		for i, x := range numbers {
			if missing[i] != math.IsNaN(got[i]) || !missing[i] && math.Float64bits(got[i]) != math.Float64bits(x) {
				t.Fatalf("row %d: %v, want %v (missing %t) in %q", i, got[i], x, missing[i], b.String())
			}
			if word, ok := f.Cell("wood", i); !ok || word != words[i] {
				t.Fatalf("row %d: %q, want %q in %q", i, word, words[i], b.String())
			}
		}
	})
}

// someOverrides are what FuzzRead opens files with.
var someOverrides = []Overrides{{}, {}, {}, {Separator: ';', Decimal: ','}, {Thousands: '.'},
	{Thousands: ' ', Decimal: '.'}, {Thousands: NoThousands},
	{Encoding: "UTF-16"}, {Encoding: "windows-1251"}, {HeaderRow: 2}, {HeaderRow: 2, UnitsRow: 1}, {UnitsRow: 2},
	{UnitsRow: 3, Dates: "month-day-year"},
	{Missing: []string{"x", "-999"}}, {Dates: "year-month-day", Separator: '\t'}}

// FuzzRead asks of any bytes, opened in any way, that they open or are refused with an
// *Error, that every cell can be read, and that memory stays in proportion.
func FuzzRead(f *testing.F) {
	for _, s := range []string{gates, "a;b\n1,5;2\n", "\ufeffa\tb\n\"x\ny\"\t1\n", "load\n1\n\n",
		"\xff\xfea\x00\n\x001\x00", "a,a,,\n007,1 mm,\n",
		"x\n12\"\n", "\"", ",,,\n,\n", "a\r1\r", "x\n9007199254740993\nNA\n", "a,b\n1,2,3", "\x00",
		"a|b\n−1|2 %\n3|4\n"} {
		f.Add([]byte(s), byte(0))
	}
	messy, err := filepath.Glob("../../testdata/messy/*.csv")
	if err != nil {
		f.Fatal(err)
	}
	books, err := filepath.Glob("../../testdata/messy/*.xlsx")
	if err != nil {
		f.Fatal(err)
	}
	messy = append(messy, books...)
	for i, path := range messy {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, byte(i))
	}
	f.Fuzz(func(t *testing.T, data []byte, pick byte) {
		size := uint64(len(data))
		if unpacked, _, err := decoding.Unpack(t.Context(), data); err == nil {
			size = uint64(len(unpacked))
		}
		if workbook.Is(data) {
			size *= 100 // its parts may unpack to so many times their size
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		frame, reading, err := Read(context.Background(), "x.csv", data, someOverrides[int(pick)%len(someOverrides)])
		runtime.ReadMemStats(&after)
		if used := after.TotalAlloc - before.TotalAlloc; used > 64<<20+400*size {
			t.Fatalf("%d bytes took %d of memory", size, used)
		}
		if err != nil {
			e, ok := err.(*frames.Error)
			if !ok || e.Code == "" || e.Detail == "" || !strings.HasPrefix(e.Error(), "x.csv") {
				t.Fatalf("%T %v", err, err)
			}
			return
		}
		if frame.Len() == 0 || reading.Separator == "" && reading.Sheet == "" || reading.HeaderLine == 0 {
			t.Fatalf("%d rows, %+v", frame.Len(), reading)
		}
		for i, c := range frame.Columns() {
			got, want := reading.Extents[i], frame.Extent(t.Context(), c.Name)
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Fatalf("%s was read as %v and holds %v", c.Name, got, want)
			}
		}
		everyCell(t, frame, string(data))
		if len(reading.Blocks) > 0 {
			below, met, err := frame.PutBelow(t.Context(), reading.Blocks)
			var e *frames.Error
			if err == nil && (below.Len() == 0 || len(met.Kept) != len(reading.Blocks)) ||
				err != nil && !errors.As(err, &e) {
				t.Fatalf("%q: %d rows, %v of %q", reading.Blocks, frame.Len(), err, data)
			}
			if err == nil {
				everyCell(t, below, string(data))
			}
		}
	})
}

func everyCell(t *testing.T, f *frames.Frame, data string) {
	for _, c := range f.Columns() {
		if c.Name == "" || !utf8.ValidString(c.Label) {
			t.Fatalf("column %+v of %q", c, data)
		}
		missing, err := f.MissingIn(c.Name)
		if err != nil {
			t.Fatal(err)
		}
		for row, gone := range missing {
			cell, ok := f.Cell(c.Name, row)
			if ok == gone || ok && cell == "" && c.Kind != frames.Text {
				t.Fatalf("%s row %d: %q, %t, missing %t of %q", c.Name, row, cell, ok, gone, data)
			}
		}
		for _, k := range []frames.Kind{frames.Category, frames.Text, frames.Number} {
			next, lost, err := f.SetKind(t.Context(), c.Name, k)
			if err != nil || next.Len() != f.Len() || k != frames.Number && len(lost) > 0 {
				t.Fatalf("%s as %s: %v, lost %v of %q", c.Name, k, err, lost, data)
			}
		}
		if c.Kind == frames.Category && slices.ContainsFunc(c.Levels, func(l string) bool {
			m,
				_ := f.Is(c.Name, []string{l})
			return !slices.Contains(m, true)
		}) {
			t.Fatalf("%s has a level that picks nothing: %q of %q", c.Name, c.Levels, data)
		}
	}
}

// benchmarkFile is a series of so many rows: a whole number, two decimals and two
// words that repeat.
func benchmarkFile(rows int) []byte {
	var b strings.Builder
	b.WriteString("specimen,density (kg/m3),load (N),pins,wood\n")
	pins := []string{"none", "single", "pair", "offset"}
	for i := range rows {
		fmt.Fprintf(&b, "%d,%.1f,%.2f,%s,%s\n", i+1, 400+float64(i*7919%3000)/10, 500+float64(i*104729%100000)/100,
			pins[i%4], []string{"larch", "oak"}[i/3%2])
	}
	return []byte(b.String())
}

func BenchmarkRead(b *testing.B) {
	data := benchmarkFile(100_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(context.Background(), "x.csv", data, Overrides{}); err != nil {
			b.Fatal(err)
		}
	}
}
