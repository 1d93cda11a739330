package main

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/cmd/measure/gates"
	"breakbook/frames"
	"breakbook/frames/reading"
)

// plainly opens a file that has one header and no blocks, and wants it read so, with nothing
// said of its header and no column offered as the load.
func plainly(t *testing.T, name string, text []byte) {
	t.Helper()
	f, r, err := reading.Read(t.Context(), name, text, reading.Overrides{})
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	if len(r.Blocks) > 0 || r.UpperLine > 0 || r.UnitsLine > 0 {
		t.Errorf("%s: blocks %q, upper line %d, units in line %d", name, r.Blocks, r.UpperLine, r.UnitsLine)
	}
	for _, m := range r.Remarks {
		if m.Code == "two-line-header" || m.Code == "duplicate-header" || m.Code == "preamble" {
			t.Errorf("%s: %+v", name, m)
		}
	}
	if column, sure := f.Likely(frames.Load); sure {
		t.Errorf("%s: %s is offered as the load", name, column)
	}
}

// Nothing new is said of the demo, of the published sets, nor of 200 clean series as invented
// for the doubts and for the demo.
func TestCleanSeriesHavePlainHeaders(t *testing.T) {
	files := 0
	for _, folder := range []string{"demo", "published"} {
		err := filepath.WalkDir(filepath.Join("../../testdata", folder),
			func(path string, d fs.DirEntry, err error) error {
				if err != nil || filepath.Ext(path) != ".csv" {
					return err
				}
				text, err := os.ReadFile(path)
				if err != nil {
					return err
				}
				files++
				plainly(t, path, text)
				return nil
			})
		if err != nil {
			t.Fatal(err)
		}
	}
	if files < 10 {
		t.Errorf("only %d files were opened", files)
	}
	for i := range uint64(200) {
		l := layouts[i%uint64(len(layouts))]
		plainly(t, fmt.Sprintf("%s, seed %d", l.name, i), []byte(clean(l, rand.New(rand.NewPCG(i, 11))).CSV()))
		if i >= 50 {
			continue
		}
		for _, file := range gates.Make(gates.Known(), 1001+i).Data() {
			if !strings.HasSuffix(file.Name, "_slip.csv") {
				plainly(t, fmt.Sprintf("%s of seed %d", file.Name, 1001+i), file.Content)
			}
		}
	}
}
