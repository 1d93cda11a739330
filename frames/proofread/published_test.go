package proofread

import (
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"breakbook/frames/reading"
)

// Nothing is said of the published sets nor of the demo's files, but of the one load in the spring's
// whose point was made to slip.
func TestNothingIsSaidOfPublishedSets(t *testing.T) {
	read := 0
	for _, folder := range []string{"published", "demo"} {
		err := filepath.WalkDir("../../testdata/"+folder, func(path string, d fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".csv") {
				return err
			}
			f, how, err := reading.Open(t.Context(), path, reading.Overrides{})
			if err != nil {
				t.Errorf("%s: %v", path, err)
				return nil
			}
			read++
			all, err := Read(t.Context(), f, Options{})
			if err != nil {
				return err
			}
			want := 0
			if filepath.Base(path) == "gates_spring.csv" {
				want = 1
			}
			if len(all) != want || want == 1 && (all[0].Code != Slip || all[0].Value != 24970) {
				t.Errorf("%s: %+v", path, all)
			}
			for _, m := range how.Remarks {
				if m.Code == "stray-word" {
					t.Errorf("%s: %+v", path, m)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if read < 30 {
		t.Errorf("%d files were read; at least 30 are kept", read)
	}
}
