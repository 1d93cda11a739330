package curvefiles

import (
	"testing"
)

// What the names of files have around those of specimens is cut only where more of them are told so, two
// at least.
func TestNamingOfFiles(t *testing.T) {
	for _, c := range []struct {
		what             string
		paths, specimens []string
		prefix, suffix   string
		want             []string // the specimen of each file, "" for none
	}{
		{"bare names", []string{"l/A1.csv", "l/a2.txt"}, []string{"A1", "A2"}, "", "", []string{"A1", "a2"}},
		{"a prefix", []string{"l/test_A1.csv", "l/Test_A2.csv.gz", "l/notes.txt"}, []string{"A1", "A2", "A3"},
			"test_", "", []string{"A1", "A2", ""}},
		{"both", []string{"run 1 slip.csv", "run 2 slip.csv", "run 11 slip.csv"}, []string{"1", "2", "11"},
			"run ", " slip", []string{"1", "2", "11"}},
		{"one file alone says nothing", []string{"day1.csv", "other.csv"}, []string{"1", "2"}, "", "",
			[]string{"", ""}},
		{"a stranger among them", []string{"g-1.csv", "g-2.csv", "g-9.csv"}, []string{"1", "2"}, "g-", "",
			[]string{"1", "2",
				""}},
		{"bare names are more", []string{"A1.csv", "A2.csv", "x_A1.csv", "x_A2.csv"}, []string{"A1", "A2"}, "", "",
			[]string{"A1", "A2", "", ""}},
		{"the longer of two ways", []string{"t1.csv", "t12.csv"}, []string{"1", "12", "t"}, "t", "",
			[]string{"1", "12"}},
		{"letters of two bytes", []string{"prüfung_Ä1.csv", "prüfung_Ä2.csv"}, []string{"ä1", "ä2"}, "prüfung_", "",
			[]string{"Ä1", "Ä2"}},
	} {
		n := namingOf(t.Context(), c.paths, c.specimens)
		if n.prefix != c.prefix || n.suffix != c.suffix {
			t.Errorf("%s: “%s” and “%s” are cut, want “%s” and “%s”", c.what, n.prefix, n.suffix, c.prefix, c.suffix)
		}
		for i, path := range c.paths {
			got, ok := n.of(path)
			if !ok {
				got = ""
			}
			if got != c.want[i] {
				t.Errorf("%s: %s is of %q, want %q", c.what, path, got, c.want[i])
			}
		}
	}
}
