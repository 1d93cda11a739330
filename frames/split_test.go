package frames

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// cutAll cuts a text with one of the two tokenizers: a record a line, each cell in
// brackets after the line it stands on.
func cutAll(text string, separator byte, quoted bool) (string, error) {
	r := &rowReader{text: []byte(text), separator: separator, quoted: quoted}
	in := r.cutter()
	var out strings.Builder
	for b, more := (&batch{}), true; more; b.reset() {
		var err error
		if more, err = in.cut(b); err != nil {
			return "", err
		}
		start := 0
		for i, end := range b.ends {
			fmt.Fprintf(&out, "%d-%d %q\n", b.lines[i], b.nexts[i], b.cells[start:end])
			start = end
		}
	}
	return out.String(), nil
}

// sameAsCSV fails unless a text without quotes is cut as encoding/csv cuts it.
func sameAsCSV(t interface{ Fatalf(string, ...any) }, text string, separator byte) {
	got, err := cutAll(text, separator, false)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	c := csv.NewReader(strings.NewReader(text))
	c.Comma, c.FieldsPerRecord = rune(separator), -1
	var want strings.Builder
	for record, err := c.Read(); err == nil; record, err = c.Read() {
		line, _ := c.FieldPos(0)
		fmt.Fprintf(&want, "%d-%d %q\n", line, line+1, record)
	}
	if got != want.String() {
		t.Fatalf("%q cut as\n%swant\n%s", text, got, want.String())
	}
}

func TestTextWithoutQuotesIsCutAsByEncodingCSV(t *testing.T) {
	for _, text := range []string{"", "\n", "\r\n", "\r", "a", "a\r", "a\r\r\n", ",", ",\n", ",\r\n\r\n\n,", "a,b\n\n1,-2\n", "-,-,-,-,-,-,-\n",
		"12345678", "1234567\n", "1234567,\n", "1234567\r\n12345,7\r", strings.Repeat("a,-\n", 5000), strings.Repeat("\n", 5000) + "x"} {
		sameAsCSV(t, text, ',')
	}
	rapid.Check(t, func(t *rapid.T) {
		separator := rapid.SampledFrom([]byte(",;\t|")).Draw(t, "separator")
		text := rapid.StringMatching(`([a-z0-9.,;:|+\-\t\x01\x80\xff]{0,6}[,;\t|\n\r-]{0,3}){0,40}`).Draw(t, "text")
		sameAsCSV(t, text, separator)
	})
}

func FuzzCut(f *testing.F) {
	for _, s := range []string{"a,b\r\n1,2\n", "\r\r\n,", "x", ",,,\n\n", "a;b|c\td\n-1,2.5"} {
		f.Add([]byte(s), byte(0))
	}
	f.Fuzz(func(t *testing.T, data []byte, pick byte) {
		data = slices.DeleteFunc(data, func(c byte) bool { return c == '"' })
		sameAsCSV(t, string(data), separators[int(pick)%len(separators)].mark)
	})
}

// quick must give what strconv gives wherever it gives anything.
func TestQuickNumbersAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`-?[0-9]{0,17}(\.[0-9]{0,17})?`).Draw(t, "number")
		x, ok := quick(s, '.')
		if !ok {
			return
		}
		if want, n, f := scanNumber(s, '.'); n != len(s) || f != plain || want != x {
			t.Fatalf("%q is %v by quick, %v (%d bytes, form %d) by scanNumber", s, x, want, n, f)
		}
	})
}
