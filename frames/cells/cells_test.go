package cells

import (
	"encoding/csv"
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// cutAll cuts a text: a record a line, each cell in quotes after the lines it stands on.
func cutAll(text string, separator byte) (string, error) {
	c := New([]byte(text), separator, 0)
	var out strings.Builder
	for b, more := (&Batch{}), true; more; b.Reset() {
		var err error
		more, err = c.Cut(b)
		start := 0
		for i, end := range b.Ends {
			fmt.Fprintf(&out, "%d-%d %q\n", b.Lines[i], b.Nexts[i], b.Cells[start:end])
			start = end
		}
		if err != nil {
			return out.String(), err
		}
	}
	return out.String(), nil
}

// sameAsCSV fails unless a text is cut as encoding/csv cuts it.
func sameAsCSV(t interface{ Fatalf(string, ...any) }, text string, separator byte) {
	got, err := cutAll(text, separator)
	if err != nil {
		t.Fatalf("%.200q: %v", text, err)
	}
	c := csv.NewReader(strings.NewReader(text))
	c.Comma, c.FieldsPerRecord = rune(separator), -1
	var want strings.Builder
	for {
		record, err := c.Read()
		if err != nil {
			break
		}
		line, _ := c.FieldPos(0)
		next := line + 1
		for _, cell := range record {
			next += strings.Count(cell, "\n")
		}
		fmt.Fprintf(&want, "%d-%d %q\n", line, next, record)
	}
	if got != want.String() {
		t.Fatalf("%.200q cut as\n%.1000s\nwant\n%.1000s", text, got, want.String())
	}
}

func TestTextIsCutAsByEncodingCSV(t *testing.T) {
	long := strings.Repeat("x", 100_000)
	for _, text := range []string{"", "\n", "\r\n", "\r", "a", "a\r", "a\r\r\n", ",", ",\n", ",\r\n\r\n\n,",
		"a,b\n\n1,-2\n", "-,-,-,-,-,-,-\n",
		"12345678", "1234567\n", "1234567,\n", "1234567\r\n12345,7\r", strings.Repeat("a,-\n", 50_000),
		strings.Repeat("\n",
			100_000) + "x",
		long + "," + long + "\n" + long, strings.Repeat("1,\"a\nb\"\n", 20_000),
		"1,\"" + strings.Repeat("a,b\n", 50_000) +
			"\"\n2,3\n",
		`""`, "\"\"\n", "a,\"\"\n", "\"a\"\r\n\"b\"\r", "\"a\r\nb\"\n", "\"\r\"\n", `"a""b",c` + "\n", "\"" + long +
			"\"\"\"\n\n1\n"} {
		sameAsCSV(t, text, ',')
	}
	rapid.Check(t, func(t *rapid.T) {
		separator := rapid.SampledFrom([]byte(",;\t|")).Draw(t, "separator")
		text := rapid.StringMatching(`([a-z0-9.,;:|+\-\t\x01\x80\xff]{0,6}[,;\t|\n\r-]{0,3}){0,40}`).Draw(t, "text")
		sameAsCSV(t, text, separator)
	})
}

// Whatever stands in cells, quoted where it must be or everywhere, comes back.
func TestQuotedCellsAreCutAsByEncodingCSV(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		separator := rapid.SampledFrom([]byte(",;\t|")).Draw(t, "separator")
		all := rapid.Bool().Draw(t, "all")
		end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end")
		var b strings.Builder
		for range rapid.IntRange(1, 30).Draw(t, "records") {
			for i := range rapid.IntRange(1, 5).Draw(t, "cells") {
				if i > 0 {
					b.WriteByte(separator)
				}
				cell := rapid.StringMatching(`[a-z0-9 .,;|"\n\r\t]{0,12}`).Draw(t, "cell")
				if all || strings.ContainsAny(cell, " \"\r\n"+string(separator)) {
					cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
				}
				b.WriteString(cell)
			}
			b.WriteString(end)
			if rapid.IntRange(0, 9).Draw(t, "blank") == 0 {
				b.WriteString(end)
			}
		}
		sameAsCSV(t, b.String(), separator)
	})
}

func TestLibertiesWithQuotes(t *testing.T) {
	for text, want := range map[string]string{
		"a, \"b\" ,c\n":          `1-2 ["a" "b" "c"]`,
		"34\",(\"),[\"]\r\nx\n":  `1-2 ["34\"" "(\")" "[\"]"]` + "\n" + `2-3 ["x"]`,
		"  \"x\ny\"  \r\n2\n":    `1-3 ["x\ny"]` + "\n" + `3-4 ["2"]`,
		"1,2\"":                  `1-2 ["1" "2\""]`,
		"\"a\"  ":                `1-2 ["a"]`,
		"5\" board\r":            `1-2 ["5\" board"]`,
		" a, b \n\"\"\n \n\n,\n": `1-2 [" a" " b "]` + "\n" + `2-3 [""]` + "\n" + `3-4 [" "]` + "\n" + `5-6 ["" ""]`,
	} {
		if got, err := cutAll(text, ','); err != nil || got != want+"\n" {
			t.Errorf("%q cut as\n%s%v; want\n%s", text, got, err, want)
		}
	}
}

func TestWhatCannotBeCut(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       Error
		before     int // records
	}{
		{"open", "a,b\n1,\"x\n2,y\n", Error{NeverClosed, 2, 2}, 1},
		{"open after a line end in a cell", "\"a\nb\",\"c", Error{NeverClosed, 2, 2}, 0},
		{"text after", "a\n\"x\"y,1\n", Error{AfterQuote, 2, 1}, 1},
		{"text after, lines inside", "a\n\"x\n\n\"y,1\n", Error{AfterQuote, 4, 1}, 1},
		{"inside", "1,say \"no\"\n", Error{InsideCell, 1, 2}, 0},
		{"long cell", "a,b\n1," + strings.Repeat("x", MostBytes+1) + "\n", Error{CellTooLong, 2, 2}, 1},
		{"long quoted cell", "a,b\n\n1,\"" + strings.Repeat("x\n", MostBytes/2) + "\"\n", Error{CellTooLong, 3, 2}, 1},
		{"many cells", "a\n" + strings.Repeat(",", 100_000) + "\n", Error{RecordTooLong, 2, MostCells + 1}, 1},
		{"many quoted cells", "a\n" + strings.Repeat(`"",`, 100_000) + "\n", Error{RecordTooLong, 2, MostCells + 1}, 1},
	} {
		got, err := cutAll(c.text, ',')
		var e *Error
		if !errors.As(err, &e) || *e != c.want || strings.Count(got, "\n") != c.before {
			t.Errorf("%s: %+v after %d records; want %+v after %d", c.name, err, strings.Count(got, "\n"), c.want,
				c.before)
		}
	}
	if got, err := cutAll("a,"+strings.Repeat("x", MostBytes)+"\n"+strings.Repeat(",", MostCells-1), ','); err != nil ||
		strings.Count(got, "\n") != 2 {
		t.Errorf("as long as may be: %v", err)
	}
}

// A first look takes every quote, as encoding/csv does that is told to be lazy.
func TestLax(t *testing.T) {
	for text, want := range map[string]string{
		"a,\"b\n1,2\n":        `["a" "b\n1,2\n"]`,
		"\"1,5\";\"2,5\",x\n": `["1,5\";\"2,5" "x"]`,
		"say \"no\",1\n":      `["say \"no\"" "1"]`,
	} {
		c := New([]byte(text), ',', 0)
		c.Lax = true
		var b Batch
		if _, err := c.Cut(&b); err != nil || fmt.Sprintf("%q", b.Cells) != want {
			t.Errorf("%q: %q, %v; want %s", text, b.Cells, err, want)
		}
	}
}

// FuzzCut asks of any text that it is cut to its end or refused, that lines go on, and
// without quotes that it is cut as encoding/csv cuts it.
func FuzzCut(f *testing.F) {
	for _, s := range []string{"a,b\r\n1,2\n", "\r\r\n,", "x", ",,,\n\n", "a;b|c\td\n-1,2.5", "\"a\" ,5\"\n\"\"",
		"\"\n\r\n\""} {
		f.Add([]byte(s), byte(0))
	}
	f.Fuzz(func(t *testing.T, data []byte, pick byte) {
		separator := []byte(",;\t|")[int(pick)%4]
		if strings.IndexByte(string(data), '"') < 0 {
			sameAsCSV(t, string(data), separator)
			return
		}
		for _, lax := range []bool{false, true} {
			c := New(data, separator, 0)
			c.Lax = lax
			next := 1
			for b, more := (&Batch{}), true; more; b.Reset() {
				var err error
				more, err = c.Cut(b)
				for i := range b.Ends {
					if b.Lines[i] < next || b.Nexts[i] <= b.Lines[i] {
						t.Fatalf("lines %v to %v after %d of %q", b.Lines, b.Nexts, next, data)
					}
					next = b.Nexts[i]
				}
				if err != nil && (lax || err.(*Error).Line < next) {
					t.Fatalf("%v at line %d of %q", err, err.(*Error).Line, data)
				}
			}
		}
	})
}
