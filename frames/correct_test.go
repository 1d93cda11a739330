package frames_test

import (
	"slices"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/frames/reading"
)

// What is corrected is written with the series and there again when it is opened; a look whose corrections
// do not fit its file is none.
func TestCorrectionsAreKeptBesideTheFile(t *testing.T) {
	f, _, err := reading.Read(t.Context(), "joints.csv",
		[]byte("Specimen,Load (N),Joint\nt1,210,dowel\nt2,280,lap\nt3,,lap\n"),
		reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	if f, err = f.CorrectNumber(t.Context(), "load", 1, 2800, "a digit lost"); err != nil {
		t.Fatal(err)
	}
	if f, err = f.CorrectNumber(t.Context(), "load", 2, 350, ""); err != nil {
		t.Fatal(err)
	}
	if f, err = f.CorrectWord(t.Context(), "joint", 0, "", false, "not known"); err != nil {
		t.Fatal(err)
	}
	want := []frames.Correction{{Row: 1, Column: "load", Was: "280", Now: "2800", Because: "a digit lost"},
		{Row: 2, Column: "load", Now: "350"}, {Row: 0, Column: "joint", Was: "dowel", Because: "not known"}}
	w, err := f.Write(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	again, code := frames.Reopen(t.Context(), w.Look, w.CSV)
	if code != "" || !slices.Equal(again.Corrections(), want) {
		t.Fatalf("opened again: %+v, %s; want %+v", again.Corrections(), code, want)
	}
	for _, c := range [][2]string{{`"row":2,`, `"row":4,`}, {`"row":2,`, `"row":0,`}, {`"row":2,`, `"row":3,`},
		{`"column":"joint"`, `"column":"glue"`}, {`"now":"2800"`, `"now":"280"`}} {
		i := strings.Index(string(w.Look), `"corrected"`)
		look := string(w.Look[:i]) + strings.Replace(string(w.Look[i:]), c[0], c[1], 1)
		if look == string(w.Look) {
			t.Errorf("%s is not in the look: %s", c[0], w.Look[i:])
		}
		if _, code := frames.Reopen(t.Context(), []byte(look), w.CSV); code != "look-broken" {
			t.Errorf("%s: %q", c[1], code)
		}
	}
}
