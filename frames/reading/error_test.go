package reading

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/frames"
)

func TestFilesThatDoNotOpen(t *testing.T) {
	folder := t.TempDir()
	for name, data := range map[string]string{
		"gates.csv": "a,b\n1,2\n", "empty.csv": "", "blank.csv": " \n\n", "header.csv": "a,b\n",
		"long.csv":  "a,b\n1,2\n3,4,5\n",
		"quote.csv": "a,b\n1,\"x\n2,y\n", "after.csv": "a,b\n\"x\"y,1\n", "inside.csv": "a,b\nsay \"no\",1\n",
		"commas.csv": strings.Repeat(",", 100_000) + "\n1\n", "binary.csv": "\x7fELF\x00\x00",
		"zip.csv": "PK\x03\x04\x00\x00", "control.csv": "\x01\x02\x03\x04,a\n", "nameless.csv": ",\nNA,NA\n",
		"wide.csv": strings.Repeat(",", 20000) + "\n1\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(folder)
	const quotes = "put the whole cell in quotes and double every quote inside it"
	for _, c := range []struct {
		path, code string
		line       int
		message    string
		hint       string
	}{
		{"gatse.csv", "no-such-file", 0, "there is no file gatse.csv", "did you mean gates.csv?"},
		{"gates", "no-such-file", 0, "there is no file gates", "did you mean gates.csv?"},
		{"nothing-like-it.txt", "no-such-file", 0, "there is no file nothing-like-it.txt", ""},
		{"nowhere/gates.csv", "no-such-file", 0, "there is no file nowhere/gates.csv", ""},
		{"gates.csv/x.csv", "unreadable", 0, "gates.csv/x.csv cannot be read: not a directory", ""},
		{".", "is-a-folder", 0, ". is a folder, not a file", "did you mean after.csv in it?"},
		{"/dev/zero", "not-a-file", 0, "/dev/zero is a device or a pipe, not a file", ""},
		{"empty.csv", "empty-file", 0, "empty.csv: there is nothing in it", ""},
		{"blank.csv", "empty-file", 0, "blank.csv: there is nothing in it", ""},
		{"header.csv", "header-only", 1, "header.csv line 1: there is a header but no specimens under it", ""},
		{"long.csv", "ragged-row", 3, "long.csv line 3: 3 cells where the header has 2",
			"put a cell that holds a comma in quotes, or open it with header row N"},
		{"quote.csv", "broken-quote", 2, "quote.csv line 2: the quote opened here is never closed", quotes},
		{"after.csv", "broken-quote", 2, "after.csv line 2: there is text after a closing quote", quotes},
		{"inside.csv", "broken-quote", 2, "inside.csv line 2: a quote stands inside a cell that does not start " +
			"with one", quotes},
		{"nameless.csv", "header-only", 1, "nameless.csv line 1: there is neither a header nor a value in it", ""},
		{"binary.csv", "binary", 0, "binary.csv: this is not a text file", "export the sheet as CSV and open that"},
		{"zip.csv", "damaged-workbook", 0, "zip.csv: it starts as a workbook and its end is missing or damaged",
			"fetch or copy the file again"},
		{"control.csv", "binary", 0, "control.csv: this is not a text file", "export the sheet as CSV and open that"},
		{"commas.csv", "too-many-columns", 1,
			"commas.csv line 1: there are more than 65536 cells; a series has at most 16384 columns",
			"say what separates the cells: separated by tab"},
		{"wide.csv", "too-many-columns", 1,
			"wide.csv line 1: the header has 20001 cells; a series has at most 16384 columns",
			"say what separates the cells: separated by tab"},
	} {
		f, r, err := Open(t.Context(), c.path, Overrides{})
		var e *frames.Error
		if !errors.As(err, &e) || f != nil || r != nil {
			t.Errorf("%s: %v, %v; want an *Error alone", c.path, f, err)
			continue
		}
		if e.Code != c.code || e.Line != c.line || e.Error() != c.message || e.Hint != c.hint || e.File != c.path {
			t.Errorf("%s: %s line %d %q hint %q; want %s line %d %q hint %q", c.path, e.Code, e.Line, e, e.Hint,
				c.code, c.line, c.message, c.hint)
		}
	}
	if _, _, err := Open(t.Context(), "gatse.csv", Overrides{}); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the cause is not kept: %v", err)
	}
}

func TestFarTooManyShortRows(t *testing.T) {
	file := strings.Repeat("a,", 16000) + "a\n" + strings.Repeat("1\n", 100000)
	var e *frames.Error
	if _, _, err := Read(t.Context(), "x.csv", []byte(file), Overrides{}); !errors.As(err, &e) ||
		e.Code != "ragged-row" || e.Line == 0 {
		t.Errorf("got %v; want a ragged-row *Error with a line", err)
	}
}

func TestSourceAndHome(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	if err := os.WriteFile(filepath.Join(home, "g.csv"), []byte("abc\n1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	f, _, err := Open(t.Context(), "~/g.csv", Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	// sha256sum of the six bytes, GNU coreutils.
	want := frames.Source{Path: "~/g.csv", Bytes: 6,
		SHA256: "5cb310b6f87a23bce211e77652daf4e4931a010ffbca35148659961a9207e0fb"}
	if f.Source() != want {
		t.Errorf("source %+v, want %+v", f.Source(), want)
	}
}

func TestOverrides(t *testing.T) {
	for _, c := range []struct {
		file string
		o    Overrides
		want string
	}{
		{"a;b,c\n1;2,3\n", Overrides{Separator: ','}, "a_b text \"a;b\": 1;2\nc number \"c\": 3\n"},
		{"a;b\n1,5;2\n", Overrides{Decimal: '.'}, "a text \"a\": 1,5\nb number \"b\": 2\n"},
		{"a;b\n1.5;2\n", Overrides{Decimal: ','}, "a text \"a\": 1.5\nb number \"b\": 2\n"},
		{"a,b\n-999,2\n3,none\n1,\n", Overrides{Missing: []string{"-999", "None"}},
			"a number \"a\": ~ 3 1\nb number \"b\": 2 ~ ~\n"},
		{"a,b\nNA,2\nx,3\n", Overrides{Missing: []string{"x"}}, "a text \"a\": NA ~\nb number \"b\": 2 3\n"},
	} {
		f, _, err := Read(t.Context(), "x.csv", []byte(c.file), c.o)
		if err != nil {
			t.Errorf("%q: %v", c.file, err)
		} else if got := shown(f); got != c.want {
			t.Errorf("%q with %+v:\n%swant:\n%s", c.file, c.o, got, c.want)
		}
	}
	for _, o := range []Overrides{{Separator: 'x'}, {Decimal: '\''}} {
		var e *frames.Error
		if _, _, err := Read(t.Context(), "x.csv", []byte("a\n1\n"), o); !errors.As(err, &e) ||
			e.Code != "bad-override" {
			t.Errorf("%+v: %v; want bad-override", o, err)
		}
	}
}

// A header cell as long as a book must not take time that grows with its square.
func TestAVeryLongHeader(t *testing.T) {
	f := opened(t, strings.Repeat("word (", 150_000)+",b\n1,2\n")
	if c := f.Columns(); len(c) != 2 || c[1].Name != "b" {
		t.Errorf("%d columns", len(c))
	}
}
