package parser

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"breakbook/repl/phrase"
)

func TestFilesOfACommand(t *testing.T) {
	k := newBench()
	for _, c := range []struct {
		line string
		want []phrase.FileUse
	}{
		{"open gates.csv", []phrase.FileUse{{Path: "gates.csv", At: 6, End: 15}}},
		{`open "my gates.csv" as x`, []phrase.FileUse{{Path: "my gates.csv", At: 6, End: 20}}},
		{`read curves a.csv "b c.csv" by density`, []phrase.FileUse{{Path: "a.csv", At: 13, End: 18},
			{Path: "b c.csv", At: 19, End: 28}}},
		{"allot a.csv over finish oil, wax balancing x to b.csv", []phrase.FileUse{{Path: "a.csv", At: 7, End: 12},
			{Path: "b.csv", At: 49, End: 54, Written: true}}},
		{"draw load by pins to ö.png, size 100 by 80 mm", []phrase.FileUse{{Path: "ö.png", At: 22, End: 27,
			Written: true}}},
		{"save book x.brk", []phrase.FileUse{{Path: "x.brk", At: 11, End: 16, Written: true}}},
		{"look", nil},
	} {
		got, err := Parse(phrase.Piece{Text: c.line, At: 1}, k)
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		if !reflect.DeepEqual(got.Files, c.want) {
			t.Errorf("%s: %+v, want %+v", c.line, got.Files, c.want)
		}
	}
}

// The outline knows no column, no level and no result.
func TestOutline(t *testing.T) {
	for _, c := range []struct {
		line, entry string
		want        []string // written ones with a + before them
	}{
		{"open gates.csv separated by comma", "open", []string{"gates.csv"}},
		{"read curves a.csv \"b c.csv\" by specimen no taking x y as load, z as slip", "read curves",
			[]string{"a.csv", "b c.csv"}},
		{"calibrate break load from gauge.csv", "calibrate", []string{"gauge.csv"}},
		{"allot a.csv over finish oil, wax balancing ring width to b.csv", "allot", []string{"a.csv", "+b.csv"}},
		{"sheet of plan1 to next.csv", "sheet", []string{"+next.csv"}},
		{"sheet to next.csv", "sheet", []string{"+next.csv"}},
		{"draw break load by pins to load.png size 100 by 80 mm for thickness > 18 mm", "draw by",
			[]string{"+load.png"}},
		{`draw break load by pins titled "from 1 to 2"`, "draw by", nil},
		{"draw all of fit1 to pictures", "draw all", []string{"+pictures"}},
		{"draw all of fit1", "draw all", nil},
		{"write \"it's done.csv\"", "write", []string{"+it's done.csv"}},
		{"save book x.brk", "save", []string{"+x.brk"}},
		{"replay x.brk", "replay", []string{"x.brk"}},
		{"report x.html", "report", []string{"+x.html"}},
		{"plan failure is glue by pins from 60% to 20%", "plan", nil},
		{"note write it to x.csv", "note", nil},
		{"open", "open", nil},
		{"quit", "quit", nil},
		{"nonsense to x.csv", "", nil},
	} {
		entry, files := phrase.Outline(phrase.Piece{Text: c.line, At: 1})
		name := ""
		if entry != nil {
			name = entry.Name
		}
		var got []string
		for _, f := range files {
			if f.Written {
				f.Path = "+" + f.Path
			}
			got = append(got, f.Path)
		}
		if name != c.entry || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %s %q, want %s %q", c.line, name, got, c.entry, c.want)
		}
	}
}

// Of every line that parses, the outline names the files that the parser found.
func TestOutlineAgreesWithTheParser(t *testing.T) {
	k := newBench()
	rapid.Check(t, func(t *rapid.T) {
		line, want := generate(t, phrase.Standard(), k)
		_, got := phrase.Outline(phrase.Piece{Text: line, At: 1})
		if len(got) == 0 && len(want.Files) == 0 {
			return
		}
		if !reflect.DeepEqual(got, want.Files) {
			t.Fatalf("%q: outline %+v, parser %+v", line, got, want.Files)
		}
	})
}

func TestSpellFile(t *testing.T) {
	for path, want := range map[string]string{
		"gates.csv": "gates.csv", "series/gates_2.csv": "series/gates_2.csv", "by": `"by"`,
		"my gates.csv": `"my gates.csv"`,
		"a;b.csv":      `"a;b.csv"`, "#1.csv": `"#1.csv"`, "a,.csv": `"a,.csv"`, "größe.csv": "größe.csv", "..": "..",
	} {
		if got, ok := phrase.SpellFile(path); got != want || !ok {
			t.Errorf("%s is spelt %s, %v; want %s", path, got, ok, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.StringOf(rapid.SampledFrom([]rune("ab1./,;#\"“ '~-ö\n"))).Draw(t, "path")
		spelled, ok := phrase.SpellFile(path)
		if !ok || path == "" {
			return
		}
		pieces, more, err := phrase.Split("open " + spelled + " as x")
		if err != nil || more || len(pieces) != 1 {
			t.Fatalf("%q splits into %+v, %v, %v", spelled, pieces, more, err)
		}
		c, err := Parse(pieces[0], newBench())
		if err != nil || c.Files[0].Path != path {
			t.Fatalf("%q is read as %+v, %v", spelled, c, err)
		}
	})
}
