package reading

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"breakbook/frames"
)

// A sheet opens with its marks whatever is filled in, also with a column gone, a level
// nobody made, and a note that would be two lines.
func TestSheetComesBackMarked(t *testing.T) {
	s := &frames.Sheet{Notes: []string{"stand\nclear"}, Columns: []frames.Column{
		{Name: "turn", Label: "Turn", Kind: frames.Number, Role: frames.Order},
		{Name: "pins", Label: "Pins", Kind: frames.Category, Levels: []string{"pair", "none", "four"}},
		{Name: "day", Label: "Day", Kind: frames.Category, Role: frames.Block},
		{Name: "pull", Label: "Pull", Kind: frames.Number, Role: frames.Load},
		{Name: "remark", Label: "Remark", Kind: frames.Text}},
		Rows: [][]string{{"1", "none", "1", "", ""}, {"2", "pair", "2", "", "=risky"}}}
	w, err := s.Write()
	if err != nil {
		t.Fatal(err)
	}
	if want := "# stand clear\nTurn,Pins,Day,Pull,Remark\n1,none,1,,\n2,pair,2,,'=risky\n"; string(w.CSV) != want {
		t.Errorf("written %q", w.CSV)
	}
	path := filepath.Join(t.TempDir(), "s.csv")
	filled := bytes.Replace(bytes.Replace(w.CSV, []byte("none,1,,"), []byte("none,1,31.5,"), 1), []byte(",Remark\n"),
		[]byte(",Said\n"), 1)
	for name, data := range map[string][]byte{path: filled, frames.LookPath(path): w.Look} {
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	f, r, err := Open(t.Context(), path, Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Look != "s.look.json" || len(f.Used()) != 1 {
		t.Errorf("look %q, used %v", r.Look, f.Used())
	}
	for name, role := range map[string]frames.Role{"turn": frames.Order, "pins": frames.NoRole, "day": frames.Block,
		"pull": frames.Load} {
		if c, ok := f.Column(name); !ok || c.Role != role {
			t.Errorf("%s: %+v", name, c)
		}
	}
	if c, _ := f.Column("day"); c.Kind != frames.Category {
		t.Errorf("day is a %s", c.Kind)
	}
	if c, _ := f.Column("pins"); len(c.Levels) != 2 || c.Levels[0] != "pair" {
		t.Errorf("levels %v", c.Levels)
	}
}

// A sheet opens before anything is filled in, also where a note has as many commas as a row
// has cells, and where a spreadsheet has put its notes in quotation marks.
func TestSheetOpensEmpty(t *testing.T) {
	s := &frames.Sheet{Notes: []string{"stand clear, wear a mask", "one of glue, pin, wood, or a word"},
		Columns: []frames.Column{
			{Name: "turn", Label: "Turn", Kind: frames.Number, Role: frames.Order},
			{Name: "pins", Label: "Pins", Kind: frames.Category, Levels: []string{"pair", "none"}},
			{Name: "pull", Label: "Pull", Kind: frames.Number, Role: frames.Load},
			{Name: "broke_in", Label: "Broke in", Kind: frames.Category, Role: frames.Failure},
			{Name: "remark", Label: "Remark", Kind: frames.Text}},
		Rows: [][]string{{"1", "none", "", "", ""}, {"2", "pair", "", "", ""}, {"3", "none", "", "", ""}}}
	w, err := s.Write()
	if err != nil {
		t.Fatal(err)
	}
	quoted := bytes.Replace(w.CSV, []byte("# stand clear, wear a mask"), []byte(`"# stand clear, wear a mask",,,,`), 1)
	for name, data := range map[string][]byte{"as written": w.CSV, "notes quoted": quoted,
		"marked": append([]byte("\xef\xbb\xbf"), w.CSV...)} {
		path := filepath.Join(t.TempDir(), "s.csv")
		for file, content := range map[string][]byte{path: data, frames.LookPath(path): w.Look} {
			if err := os.WriteFile(file, content, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		f, r, err := Open(t.Context(), path, Overrides{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		preamble := slices.ContainsFunc(r.Remarks, func(m frames.Remark) bool { return m.Code == "preamble" })
		if f.Len() != 3 || len(f.Columns()) != 5 || r.HeaderLine != 3 || preamble {
			t.Errorf("%s: %d rows, %d columns, header in line %d, %v", name, f.Len(), len(f.Columns()), r.HeaderLine,
				r.Remarks)
		}
	}
}
