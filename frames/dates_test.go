package frames_test

import (
	"testing"

	"breakbook/frames"
)

// The first and the last date of a column are told as they are written, by time and not by letters; a column with a
// cell that is no date has none.
func TestDateSpans(t *testing.T) {
	for _, c := range []struct {
		file string
		want []frames.DateSpan
	}{
		{"no,tested,load\na,14.11.2026,1\nb,3.11.2026,2\nc,,3\nd,28.2.2026,4\n",
			[]frames.DateSpan{{First: "28.2.2026", Last: "14.11.2026"}}},
		{"no,tested,load\na,2026-11-14,1\nb,2026-11-14,2\n",
			[]frames.DateSpan{{First: "2026-11-14", Last: "2026-11-14"}}},
		{"no,tested,load\na,2026-11-14,1\nb,later,2\n", nil},
		{"no,pins,load\na,none,1\nb,pair,2\n", nil},
	} {
		got := opened(t, c.file).DateSpans(t.Context())
		if len(got) != len(c.want) {
			t.Errorf("%q: %d columns of dates, want %d", c.file, len(got), len(c.want))
			continue
		}
		for i, w := range c.want {
			if got[i].First != w.First || got[i].Last != w.Last || got[i].Column.Name != "tested" {
				t.Errorf("%q: %s from %s to %s, want %s to %s", c.file, got[i].Column.Name, got[i].First,
					got[i].Last, w.First, w.Last)
			}
		}
	}
}
