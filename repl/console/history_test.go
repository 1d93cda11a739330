package console

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/peterh/liner"

	"breakbook/frames/files"
)

func TestHistoryIsKeptBetweenRuns(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "history")
	h := OpenHistory(path)
	if !h.First() {
		t.Error("without a file this should be the first run")
	}
	h.Add("open gates.csv")
	h.Add("fit load on density,\n pins")
	if err := h.Close(); err != nil {
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
	if err := OpenHistory(path).Close(); err != nil {
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
		if err := h.Close(); err != nil {
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
	for i := range liner.HistoryLimit + trimEach {
		h.Add(fmt.Sprint("rows ", i))
	}
	if err := h.Close(); err != nil {
		t.Fatal(err)
	}
	got := OpenHistory(path).Lines()
	if want := fmt.Sprint("rows ", trimEach); len(got) != liner.HistoryLimit || got[0] != want {
		t.Errorf("%d lines from %q on, want %d from %q on", len(got), got[0], liner.HistoryLimit, want)
	}
}

func TestHistoryThatCannotBeKeptSaysSo(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	h := OpenHistory(filepath.Join(file, "history"))
	h.Add("look")
	if err := h.Close(); err == nil || !strings.HasPrefix(err.Error(), "the history could not be kept: ") {
		t.Errorf("error %v", err)
	}
}

func TestALongHistoryIsCutWhenItIsOpened(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "kept elsewhere")
	link := filepath.Join(folder, "history")
	var long strings.Builder
	for i := range 3 * liner.HistoryLimit {
		fmt.Fprintln(&long, "rows", i)
	}
	if err := os.WriteFile(path, []byte(long.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links here: ", err)
	}
	if err := OpenHistory(link).Close(); err != nil {
		t.Fatal(err)
	}
	if got := OpenHistory(link).Lines(); len(got) != liner.HistoryLimit || got[0] != "rows 2000" {
		t.Errorf("%d lines from %q on", len(got), got[0])
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link became %v, %v", info.Mode(), err)
	}
}

// TestHistoryOfSeveralAtOnceLosesNothing has six sessions type 40 commands each, with a
// trim in the midst of it.
func TestHistoryOfSeveralAtOnceLosesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history")
	var done sync.WaitGroup
	for session := range 6 {
		done.Go(func() {
			h := OpenHistory(path)
			h.since = trimEach - 20
			for i := range 40 {
				h.Add(fmt.Sprintf("note %d of %d", i, session))
			}
			if err := h.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	done.Wait()
	kept := OpenHistory(path).Lines()
	if len(kept) != 240 {
		t.Errorf("%d commands kept, want 240", len(kept))
	}
	for session := range 6 {
		next := 0
		for _, text := range kept {
			if text == fmt.Sprintf("note %d of %d", next, session) {
				next++
			}
		}
		if next != 40 {
			t.Errorf("session %d: %d of 40 commands in order", session, next)
		}
	}
}

func TestHistoryGoesOnAfterATornLine(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history")
	if err := os.WriteFile(path, []byte("look\nrows 1"), 0o600); err != nil {
		t.Fatal(err)
	}
	OpenHistory(path).Add("rows 2")
	if got := OpenHistory(path).Lines(); !slices.Equal(got, []string{"look", "rows 1", "rows 2"}) {
		t.Errorf("kept %q", got)
	}
}

func TestHistoryWaitsForNoOneForever(t *testing.T) {
	path := filepath.Join(t.TempDir(), "history")
	h := OpenHistory(path)
	lock, err := files.Edit(path + ".lock")
	if err != nil {
		t.Fatal(err)
	}
	defer lock.Close()
	if got, err := files.TryLock(lock); !got || err != nil {
		t.Fatal(got, err)
	}
	h.Add("look")
	if err := h.Close(); !errors.Is(err, files.ErrLocked) {
		t.Errorf("error %v", err)
	}
}
