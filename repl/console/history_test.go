package console

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/peterh/liner"
)

func TestHistoryIsKeptBetweenRuns(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "history")
	h := OpenHistory(path)
	if !h.First() {
		t.Error("without a file this should be the first run")
	}
	h.Add("open gates.csv")
	h.Add("fit load on density,\n pins")
	if err := h.Save(); err != nil {
		t.Fatal(err)
	}
	again := OpenHistory(path)
	want := []string{"open gates.csv", "fit load on density,  pins"}
	if got := again.Lines(); !slices.Equal(got, want) {
		t.Errorf("kept %q, want %q", got, want)
	}
	if again.First() {
		t.Error("the second run is taken for the first")
	}
}

func TestHistoryOfARunWithoutCommandsMarksTheFirst(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history")
	if err := OpenHistory(path).Save(); err != nil {
		t.Fatal(err)
	}
	if OpenHistory(path).First() {
		t.Error("the greeting would come again")
	}
}

func TestHistorySurvivesDamage(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history")
	damaged := "look\n\xff\xfe\x00\nrows \xc3( 5\n" + strings.Repeat("x", 5000) + "\n\x1b[2Jquit\n"
	if err := os.WriteFile(path, []byte(damaged), 0o600); err != nil {
		t.Fatal(err)
	}
	want := []string{"look", "rows ( 5", "[2Jquit"}
	if got := OpenHistory(path).Lines(); !slices.Equal(got, want) {
		t.Errorf("read %q, want %q", got, want)
	}
}

func TestHistoryOfTwoAtOnceIsJoined(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history")
	one, two := OpenHistory(path), OpenHistory(path)
	one.Add("look")
	two.Add("rows 5")
	for _, h := range []*History{one, two} {
		if err := h.Save(); err != nil {
			t.Fatal(err)
		}
	}
	if got := OpenHistory(path).Lines(); !slices.Equal(got, []string{"look", "rows 5"}) {
		t.Errorf("kept %q", got)
	}
}

func TestHistoryDropsTheOldest(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history")
	h := OpenHistory(path)
	for i := range liner.HistoryLimit + 5 {
		h.Add(fmt.Sprint("rows ", i))
	}
	if err := h.Save(); err != nil {
		t.Fatal(err)
	}
	got := OpenHistory(path).Lines()
	if len(got) != liner.HistoryLimit || got[0] != "rows 5" {
		t.Errorf("%d lines from %q on", len(got), got[0])
	}
}

func TestHistoryThatCannotBeKeptSaysSo(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	h := OpenHistory(filepath.Join(file, "history"))
	h.Add("look")
	if err := h.Save(); err == nil || !strings.HasPrefix(err.Error(), "the history could not be kept: ") {
		t.Errorf("error %v", err)
	}
}
