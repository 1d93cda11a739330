package main

import (
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"breakbook/cmd/measure/handkept"
	"breakbook/cmd/measure/typed"
	"breakbook/frames/proofread"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

// asked is one row of what `check series` tells.
type asked struct{ about, specimen, why, try string }

// checked types `check series` into a copy of a session.
func checked(ctx context.Context, t *testing.T, b typed.Book) []asked {
	t.Helper()
	e, err := b.Run(ctx, "check series")
	if err != nil {
		t.Fatal(err)
	}
	var all []asked
	for _, table := range e.Tables {
		at := func(id string) int {
			return slices.IndexFunc(table.Columns, func(c page.Column) bool { return c.ID == id })
		}
		word := func(row []page.Cell, id string) string {
			return row[at(id)].Text
		}
		for _, row := range table.Rows {
			all = append(all, asked{word(row, "about"), word(row, "specimen"), word(row, "why"), word(row, "try")})
		}
	}
	return all
}

// offered are the lines that the cautions of an entry offer.
var offered = regexp.MustCompile(`type: (.+)$|[Tt]ype (treat \S+ as number)|[Tt]ype (unit \S+ is \S+?)[.;,]|Try: (.+)$`)

// TestEveryLineOfferedWorks types each line that `open` and `check series` offer for hand-kept sheets into
// a session of its own: it works, and what it puts right is not said again. A line that only shows something
// (look, rows) changes nothing, so that its remark stays.
func TestEveryLineOfferedWorks(t *testing.T) {
	folder := t.TempDir()
	var files []string
	for i, f := range handkept.Faults {
		for n := range uint64(4) {
			r := rand.New(rand.NewPCG(30_000_001+n+uint64(i)<<32, 2))
			s := handkept.Clean(r, f.Options)
			f.Plant(r, s)
			path := filepath.Join(folder, strings.ReplaceAll(f.Name, " ", "_")+string(rune('0'+n))+".csv")
			if err := os.WriteFile(path, s.CSV(), 0o600); err != nil {
				t.Fatal(err)
			}
			files = append(files, path)
		}
	}
	path := filepath.Join(folder, "a date of January in March.csv")
	if err := os.WriteFile(path, []byte(january), 0o600); err != nil {
		t.Fatal(err)
	}
	files = append(files, path)
	for _, pattern := range []string{"*.csv", "*.xlsx"} {
		messy, err := filepath.Glob("../../testdata/messy/" + pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, messy...)
	}
	met, shown := map[proofread.Code]int{}, false
	for _, path := range files {
		var b typed.Book
		e, err := b.Run(t.Context(), "open "+quote(path)+" as s")
		if err != nil {
			continue // a messy file that has to be refused
		}
		for _, c := range e.Cautions {
			for _, m := range offered.FindAllStringSubmatch(render.Sentence(c, render.Options{}), -1) {
				line := strings.Join(m[1:], "")
				again := b
				if _, err := again.Run(t.Context(), line); err != nil {
					t.Errorf("%s: open offers %q: %v", filepath.Base(path), line, err)
				}
			}
		}
		f, _ := b.Session.Frame("s")
		remarks, err := proofread.Read(t.Context(), f, proofread.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range remarks {
			met[r.Code]++
		}
		for _, was := range checked(t.Context(), t, b) {
			if was.try == "" { // of a column of one value, which nothing puts right
				if !strings.HasSuffix(was.why, " wherever it is not missing") {
					t.Errorf("%s: %q of %s %s has no line", filepath.Base(path), was.why, was.about, was.specimen)
				}
				continue
			}
			again := b
			if _, err := again.Run(t.Context(), was.try); err != nil {
				t.Errorf("%s: check series offers %q: %v", filepath.Base(path), was.try, err)
				continue
			}
			verb, _, _ := strings.Cut(was.try, " ")
			stays := slices.ContainsFunc(checked(t.Context(), t, again), func(is asked) bool {
				return is.about == was.about && is.specimen == was.specimen && is.why == was.why
			})
			shows := verb == "rows"
			shown = shown || shows
			if stays != shows {
				t.Errorf("%s: after %q, %q of %s %s is said again: %v", filepath.Base(path), was.try, was.why,
					was.about, was.specimen, stays)
			}
		}
	}
	for _, code := range []proofread.Code{proofread.Sum, proofread.TwoUnits, proofread.Slip, proofread.Zero,
		proofread.Negative, proofread.RowTwice, proofread.NameTwice, proofread.Alike, proofread.AlmostNum,
		proofread.LoneLevel, proofread.DateOrder, proofread.OneValue} {
		if met[code] == 0 {
			t.Errorf("no %s was told: %v", code, met)
		}
	}
	if !shown {
		t.Error("no line only shows rows")
	}
}

// january has a date that no swap of day and month, and no other year, puts in order.
const january = `Specimen,Tested,Load (N)
1,2024-03-04,4812
2,2024-03-05,5120
3,2024-03-06,4690
4,2024-01-17,4871
5,2024-03-11,5230
6,2024-03-12,4933
7,2024-03-13,5012
8,2024-03-14,4788
9,2024-03-18,4902
`

func quote(path string) string { return `"` + path + `"` }
