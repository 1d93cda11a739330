package frames

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// dialect is one way of writing a table.
type dialect struct {
	separator, decimal string
	lineEnd, mark      string
	quoteAll           bool
}

func (d dialect) cell(s string) string {
	if d.quoteAll && s != "" || strings.ContainsAny(s, "\"\r\n"+d.separator) || strings.TrimSpace(s) != s {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

func drawDialect(t *rapid.T) dialect {
	d := dialect{
		separator: rapid.SampledFrom([]string{",", ";", "\t", "|"}).Draw(t, "separator"),
		decimal:   ".",
		lineEnd:   rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end"),
		mark:      rapid.SampledFrom([]string{"", "\ufeff"}).Draw(t, "mark"),
		quoteAll:  rapid.Bool().Draw(t, "quote all"),
	}
	if d.separator != "," && rapid.Bool().Draw(t, "decimal comma") {
		d.decimal = ","
	}
	return d
}

// TestAnyTableInAnyDialectOpensEqual writes numbers and words as each dialect does
// and asks for the same numbers, bit by bit, and the same words back.
func TestAnyTableInAnyDialectOpensEqual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDialect(t)
		rows := rapid.IntRange(1, 40).Draw(t, "rows")
		// The first number has a fraction, so that the decimal mark can be seen.
		numbers := append([]float64{12.5}, rapid.SliceOfN(rapid.Float64().Filter(func(x float64) bool { return math.Abs(x) < 1e15 || x != math.Trunc(x) }), rows-1, rows-1).Draw(t, "numbers")...)
		missing := rapid.SliceOfN(rapid.Bool(), rows, rows).Draw(t, "missing")
		missing[0] = false
		pool := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-zäß][a-z "'|;,\n\t_.-]{0,8}[a-zé]`), 1, 6, rapid.ID[string]).Draw(t, "pool")
		for _, w := range pool {
			if newAbsence(nil).is(w) {
				t.Skip("a word that means missing")
			}
		}
		words := rapid.SliceOfN(rapid.SampledFrom(pool), rows, rows).Draw(t, "words")
		var b strings.Builder
		b.WriteString(d.mark + d.cell("width") + d.separator + d.cell("wood") + d.separator + d.cell("x") + d.lineEnd)
		for i, x := range numbers {
			text := ""
			if !missing[i] {
				text = strings.Replace(strconv.FormatFloat(x, 'g', -1, 64), ".", d.decimal, 1)
			}
			b.WriteString(d.cell(text) + d.separator + d.cell(words[i]) + d.separator + "1" + d.lineEnd)
		}
		f, r, err := Read("x.csv", []byte(b.String()), Overrides{})
		if err != nil {
			t.Fatalf("%v in %q", err, b.String())
		}
		if f.Len() != rows || len(r.Remarks) > 0 {
			t.Fatalf("%d rows, remarks %v in %q", f.Len(), r.Remarks, b.String())
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

// TestNumbersAreReadAsWritten compares scanNumber with strconv on every look of a number.
func TestNumbersAreReadAsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[-+]?[0-9]{0,24}(\.[0-9]{0,24})?([eE][-+]?[0-9]{1,3})?`).Draw(t, "number")
		want, err := strconv.ParseFloat(s, 64)
		x, n, _ := scanNumber(s, '.')
		if err != nil {
			if n == len(s) && n > 0 {
				t.Fatalf("%q read as %v, strconv says %v", s, x, err)
			}
			return
		}
		if n != len(s) || math.Float64bits(x) != math.Float64bits(want) {
			t.Fatalf("%q read as %v (%d of %d bytes), want %v", s, x, n, len(s), want)
		}
	})
}

// FuzzRead asks of any bytes that they open or are refused with an *Error, that
// every cell can be read, and that memory stays in proportion.
func FuzzRead(f *testing.F) {
	for _, s := range []string{gates, "a;b\n1,5;2\n", "\ufeffa\tb\n\"x\ny\"\t1\n", "load\n1\n\n", "\xff\xfea\x00\n\x001\x00", "a,a,,\n007,1 mm,\n",
		"x\n12\"\n", "\"", ",,,\n,\n", "a\r1\r", "x\n9007199254740993\nNA\n", "a,b\n1,2,3", "\x00", "a|b\n−1|2 %\n3|4\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		frame, reading, err := Read("x.csv", data, Overrides{})
		runtime.ReadMemStats(&after)
		if used := after.TotalAlloc - before.TotalAlloc; used > 64<<20+400*uint64(len(data)) {
			t.Fatalf("%d bytes took %d of memory", len(data), used)
		}
		if err != nil {
			e, ok := err.(*Error)
			if !ok || e.Code == "" || e.Detail == "" || !strings.HasPrefix(e.Error(), "x.csv") {
				t.Fatalf("%T %v", err, err)
			}
			return
		}
		if frame.Len() == 0 || reading.Separator == "" || reading.HeaderLine == 0 {
			t.Fatalf("%d rows, %+v", frame.Len(), reading)
		}
		everyCell(t, frame, string(data))
	})
}

func everyCell(t *testing.T, f *Frame, data string) {
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
			if ok == gone || ok && cell == "" && c.Kind != Text {
				t.Fatalf("%s row %d: %q, %t, missing %t of %q", c.Name, row, cell, ok, gone, data)
			}
		}
		for _, k := range []Kind{Category, Text, Number} {
			next, lost, err := f.SetKind(c.Name, k)
			if err != nil || next.Len() != f.Len() || k != Number && len(lost) > 0 {
				t.Fatalf("%s as %s: %v, lost %v of %q", c.Name, k, err, lost, data)
			}
		}
		if c.Kind == Category && slices.ContainsFunc(c.Levels, func(l string) bool { m, _ := f.Is(c.Name, []string{l}); return !slices.Contains(m, true) }) {
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
		fmt.Fprintf(&b, "%d,%.1f,%.2f,%s,%s\n", i+1, 400+float64(i*7919%3000)/10, 500+float64(i*104729%100000)/100, pins[i%4], []string{"larch", "oak"}[i/3%2])
	}
	return []byte(b.String())
}

func BenchmarkRead(b *testing.B) {
	data := benchmarkFile(100_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read("x.csv", data, Overrides{}); err != nil {
			b.Fatal(err)
		}
	}
}
