package reading

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"breakbook/frames"
)

// The files of testdata/messy are typed by hand as spreadsheets, loggers and phones
// write them, and so is the .want beside each; its README.md says how to read it.
func TestMessyFilesOpenAsTheyWereMeant(t *testing.T) {
	wants, err := filepath.Glob("../../testdata/messy/*.want")
	deeper, inFolders := filepath.Glob("../../testdata/messy/*/*.want")
	if err = errors.Join(err, inFolders); err != nil || len(wants) < 70 || len(deeper) < 1 {
		t.Fatalf("%d files and %d in folders, %v; at least 70 are kept", len(wants), len(deeper), err)
	}
	wants = append(wants, deeper...)
	for _, path := range wants {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".want"), func(t *testing.T) {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			want := string(text)
			overrides := ""
			for rest, ok := strings.CutPrefix(want, "with "); ok; rest, ok = strings.CutPrefix(want, "with ") {
				overrides, want, _ = strings.Cut(rest, "\n")
			}
			file := strings.TrimSuffix(path, ".want") + ".csv"
			if book := strings.TrimSuffix(path, ".want") + ".xlsx"; isThere(book) {
				file = book
			}
			f, r, err := Open(t.Context(), file, overridden(t, overrides))
			if got := asWanted(f, r, err, want); got != want {
				t.Errorf("got:\n%s\nwant:\n%s", got, want)
			}
		})
	}
}

func isThere(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// overridden are the overrides of a "with" line: a word and what it is.
func overridden(t *testing.T, line string) (o Overrides) {
	what, value, _ := strings.Cut(line, " ")
	var err error
	switch what {
	case "":
	case "dates":
		o.Dates = value
	case "sheet":
		o.Sheet = value
	case "encoding":
		o.Encoding = value
	case "missing":
		o.Missing = strings.Split(value, ", ")
	case "header":
		o.HeaderRow, err = strconv.Atoi(value)
	case "units":
		o.UnitsRow, err = strconv.Atoi(value)
	default:
		t.Fatalf("with %s?", line)
	}
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// asWanted writes what came of a file as a .want does; levels only of the columns for
// which it names them.
func asWanted(f *frames.Frame, r *frames.Reading, err error, want string) string {
	var e *frames.Error
	if errors.As(err, &e) {
		return fmt.Sprintf("error %s line %d: %s\n", e.Code, e.Line, e.Detail)
	}
	var b strings.Builder
	if r.Sheet == "" {
		fmt.Fprintf(&b, "read %s %s %s %s header %d", r.Separator, r.Decimal, r.Thousands, r.Encoding, r.HeaderLine)
	} else {
		fmt.Fprintf(&b, "read sheet %q %s %s header %d", r.Sheet, r.Decimal, r.Thousands, r.HeaderLine)
	}
	if r.UnitsLine > 0 {
		fmt.Fprintf(&b, " units %d", r.UnitsLine)
	}
	if r.Packed {
		b.WriteString(" packed")
	}
	var others []string
	for _, s := range r.Sheets {
		if s.Name != r.Sheet {
			others = append(others, s.Name)
		}
	}
	if len(others) > 0 {
		b.WriteString(" beside " + strings.Join(others, ", "))
	}
	b.WriteString("\n")
	if r.Dates != "" {
		fmt.Fprintf(&b, "dates %s\n", r.Dates)
	}
	if len(r.MissingWords) > 0 {
		fmt.Fprintf(&b, "missing %s\n", strings.Join(r.MissingWords, ", "))
	}
	dash := func(s string) string {
		if s == "" {
			return "-"
		}
		return s
	}
	for _, c := range f.Columns() {
		fmt.Fprintf(&b, "column %s %s %s %s %s\n", c.Name, c.Kind, dash(c.Unit.String()), dash(string(c.Role)), c.Label)
	}
	for row := range f.Len() {
		fmt.Fprintf(&b, "row %d", f.Line(row))
		for _, c := range f.Columns() {
			cell, ok := f.Cell(c.Name, row)
			if !ok {
				cell = "~"
			}
			b.WriteString(" | " + strings.ReplaceAll(cell, "\n", `\n`))
		}
		b.WriteString("\n")
	}
	for _, c := range f.Columns() {
		if strings.Contains(want, "\nlevels "+c.Name+" ") {
			fmt.Fprintf(&b, "levels %s | %s\n", c.Name, strings.Join(c.Levels, " | "))
		}
	}
	if r.UpperLine > 0 {
		fmt.Fprintf(&b, "upper %d\n", r.UpperLine)
	}
	for _, block := range r.Blocks {
		fmt.Fprintf(&b, "block %s\n", strings.Join(block, ", "))
	}
	for _, m := range r.Remarks {
		b.WriteString(strings.TrimSpace(fmt.Sprintf("remark %s %s line %d count %d %s", m.Code, dash(m.Column), m.Line,
			m.Count, m.Word)) + "\n")
	}
	return b.String()
}

// The cases of csv-spectrum (see testdata/messy/spectrum/README.md) say for each CSV
// which records it holds, as JSON: an outside judge of quotes, line ends and UTF-8. A
// line end inside a cell is read as a line feed.
func TestCSVSpectrum(t *testing.T) {
	files, err := filepath.Glob("../../testdata/messy/spectrum/*.csv")
	if err != nil || len(files) != 11 {
		t.Fatalf("%d files, %v; want 11", len(files), err)
	}
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			text, err := os.ReadFile(strings.TrimSuffix(path, ".csv") + ".json")
			if err != nil {
				t.Fatal(err)
			}
			want, headers := records(t, text)
			f, r, err := Open(t.Context(), path, Overrides{})
			if err != nil {
				t.Fatal(err)
			}
			if f.Len() != len(want) || len(f.Columns()) != len(headers) || r.Separator != "comma" {
				t.Fatalf("%d rows of %d columns parted by %s, want %d of %d", f.Len(), len(f.Columns()), r.Separator,
					len(want), len(headers))
			}
			for i, c := range f.Columns() {
				if c.Header != headers[i] {
					t.Errorf("column %d is headed %q, want %q", i+1, c.Header, headers[i])
				}
				for row, record := range want {
					cell, ok := f.Cell(c.Name, row)
					want := strings.ReplaceAll(record[c.Header], "\r\n", "\n")
					if ok != (want != "") || cell != want {
						t.Errorf("row %d of %s is %q, want %q", row+1, c.Header, cell, want)
					}
				}
			}
		})
	}
}

// records are the JSON's objects and the keys of the first, in their order.
func records(t *testing.T, text []byte) (all []map[string]string, keys []string) {
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(bytes.NewReader(text))
	for key := true; ; {
		token, err := d.Token()
		if err != nil || token == json.Delim('}') {
			return all, keys
		}
		if s, ok := token.(string); ok {
			if key {
				keys = append(keys, s)
			}
			key = !key
		}
	}
}
