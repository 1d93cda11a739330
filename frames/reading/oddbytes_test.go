package reading

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	utf16 "golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"

	"breakbook/frames"
)

// However a table is encoded, a byte lost or changed below its header costs the cells it
// touches and no more, and is told of. Only where it parts two rows, or where two letters
// become a third, does more follow.
func TestAnOddByteCostsItsCell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.IntRange(3, 30).Draw(t, "rows")
		lines := []string{"Brett\tHölzer\tLast (N)\tRest"}
		for i := range rows {
			lines = append(lines, fmt.Sprintf("b%d\tLärche %d\t%d\tRücken", i, i%3, 600+i))
		}
		text := strings.Join(lines, "\n") + "\n"
		wide := rapid.IntRange(0, 3).Draw(t, "encoding")
		var e encoding.Encoding
		switch wide {
		case 0:
			e = encoding.Nop
		case 1:
			e = utf16.UTF16(utf16.LittleEndian, utf16.UseBOM)
		case 2:
			e = utf16.UTF16(utf16.BigEndian, utf16.UseBOM)
		case 3:
			e = utf16.UTF16(utf16.LittleEndian, utf16.IgnoreBOM)
		}
		whole, err := e.NewEncoder().Bytes([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		head, _ := e.NewEncoder().Bytes([]byte(lines[0] + "\n"))
		at := rapid.IntRange(len(head), len(whole)-1).Draw(t, "place")
		if wide == 0 {
			whole[at] = 0xff
		} else {
			whole = slices.Delete(whole, at, at+1)
		}
		f, r, err := Read(t.Context(), "x.csv", whole, Overrides{})
		var broken *frames.Error
		if errors.As(err, &broken) && broken.Code == "ragged-row" {
			return // a line end was hit
		}
		if err != nil || f.Len() < rows-2 || f.Len() > rows || len(f.Columns()) != 4 {
			t.Fatalf("%v, %v from place %d of %q", err, f, at, whole)
		}
		odd := 0
		for row := range f.Len() {
			i := f.Line(row) - 2
			for j, c := range f.Columns() {
				if cell, _ := f.Cell(c.Name, row); cell != strings.Split(lines[i+1], "\t")[j] {
					odd++
				}
			}
		}
		remarked := slices.ContainsFunc(r.Remarks, func(m frames.Remark) bool { return m.Code == "odd-bytes" })
		if odd > 4 || odd > 0 && !remarked || !strings.HasPrefix(r.Encoding, "UTF-") {
			t.Fatalf("%d cells differ, %+v, from place %d of %q", odd, r, at, whole)
		}
	})
}

// Bytes outside the cells are told of too, and the name of the encoding changes nothing.
func TestOddBytesOutsideTheCells(t *testing.T) {
	for _, c := range []struct {
		name, file, encoding, want string
	}{
		{"preamble", "Rig in der H\xfctte, Gerät ü\n\na,b,c\n1,2,3\n2,3,4\n", "",
			"preamble  1 Rig in der H\ufffdtte 1\nodd-bytes  1  1"},
		{"named", "a,b\nä,1\n\xe4x,2\nä,3\n", "UTF-8", "odd-bytes a 3 \ufffdx 1"},
		{"several", "a,b\nä,1\n\xe4x,2\nä,3\nö\xff,4\n", "", "odd-bytes a 3 \ufffdx 2"},
	} {
		f, r, err := Read(t.Context(), "x.csv", []byte(c.file), Overrides{Encoding: c.encoding})
		if err != nil || remarked(r) != c.want || r.Encoding != "UTF-8" {
			t.Errorf("%s: %v, %v\n%+v\nwant %s", c.name, err, f, r, c.want)
		}
	}
	var e *frames.Error
	if _, _, err := Read(t.Context(), "x.csv", []byte("a\nL\xe4rche\n"), Overrides{Encoding: "UTF-8"}); !errors.As(err,
		&e) || e.Code != "wrong-encoding" || e.Line != 2 {
		t.Errorf("%v; want wrong-encoding in line 2", err)
	}
}
