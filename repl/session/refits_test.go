package session

import (
	"fmt"
	"strings"
	"testing"

	"breakbook/frames"
	"breakbook/frames/reading"
)

func ofRows(t *testing.T, n int) *frames.Frame {
	t.Helper()
	f, _, err := reading.Read(t.Context(), "a.csv", []byte("load (N)\n"+strings.Repeat("100\n", n)),
		reading.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// What was fitted is at hand for the very specimens it was fitted on, in the session and what it becomes, of one series
// at a time, of so many lines, and not of a long series.
func TestRefits(t *testing.T) {
	s := New(Options{})
	few, same, many := ofRows(t, 3), ofRows(t, 3), ofRows(t, mostRefitted+1)
	next := s.WithFrame("few", few)
	next.KeepRefit(few, "fit load on pins", 7)
	for _, of := range []*Session{s, next, next.WithFrame("same", same)} {
		if fit, ok := of.Refit(few, "fit load on pins"); !ok || fit != 7 {
			t.Errorf("kept: %v, %v", fit, ok)
		}
		if _, ok := of.Refit(same, "fit load on pins"); ok {
			t.Error("kept for other specimens")
		}
		if _, ok := of.Refit(few, "fit load on glue"); ok {
			t.Error("kept for another line")
		}
	}
	if _, ok := New(Options{}).Refit(few, "fit load on pins"); ok {
		t.Error("kept for another session")
	}
	s.KeepRefit(same, "fit load on pins", 8)
	if _, ok := s.Refit(few, "fit load on pins"); ok {
		t.Error("kept beside that of another series")
	}
	s.KeepRefit(many, "fit load on pins", 9)
	if _, ok := s.Refit(many, "fit load on pins"); ok {
		t.Error("kept of a long series")
	}
	if s.refits.of == many {
		t.Error("a long series is held")
	}
	for i := range mostRefits + 1 {
		if s.KeepRefit(few, fmt.Sprint(i), i); len(s.refits.made) > mostRefits {
			t.Fatalf("%d kept", len(s.refits.made))
		}
	}
	if fit, ok := s.Refit(few, fmt.Sprint(mostRefits)); !ok || fit != mostRefits {
		t.Errorf("the latest: %v, %v", fit, ok)
	}
}
