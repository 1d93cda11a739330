package reading

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"breakbook/frames"
	"breakbook/frames/cells"
	"breakbook/frames/files"
	"breakbook/models/parallel"
)

// What is longer than it may be is refused with the file, the line and the column.
func TestWhatIsTooLongIsRefused(t *testing.T) {
	t.Cleanup(func() { files.SetMostMemory(0) })
	t.Chdir(t.TempDir())
	long := strings.Repeat("7", cells.MostBytes+1)
	for _, c := range []struct {
		name, data, code, message string
		line                      int
		memory                    int64
	}{
		{"row.csv", "a,b\n1,2\n" + strings.Repeat("1,", 100_000) + "1\n", "too-many-columns",
			"row.csv line 3: there are more than 65536 cells; a series has at most 16384 columns", 3, 0},
		{"quoted.csv", "a,b\n\"1\",2\n" + strings.Repeat("\"1\",", 100_000) + "1\n", "too-many-columns",
			"quoted.csv line 3: there are more than 65536 cells; a series has at most 16384 columns", 3, 0},
		{"blanks.csv", "a,b\n1,2" + strings.Repeat(",", 100_000) + "\n", "too-many-columns",
			"blanks.csv line 2: there are more than 65536 cells; a series has at most 16384 columns", 2, 0},
		{"longer.csv", "a,b\n1,2\n3" + strings.Repeat(",4", 60_000) + "\n", "ragged-row",
			"longer.csv line 3: 60001 cells where the header has 2", 3, 0},
		{"cell.csv", "wood,Break load (N)\noak,12\nash," + long + "\n", "cell-too-long",
			"cell.csv line 3: the cell of break_load is longer than the 1 MiB that are read", 3, 0},
		{"open.csv", "wood,load\noak,\"12\n" + strings.Repeat("ash,13\n", 400_000), "cell-too-long",
			"open.csv line 2: the cell of load is longer than the 1 MiB that are read", 2, 0},
		{"beyond.csv", "a,b\n1,2," + long + "\n", "cell-too-long",
			"beyond.csv line 2: cell 3 is longer than the 1 MiB that are read", 2, 0},
		{"file.csv", "a,b\n" + strings.Repeat("1000000,2\n", 4<<20), "too-large",
			"file.csv is longer than the 32 MiB that are read", 0, files.LeastMemory},
		{"cells.csv", "a,b\n" + strings.Repeat("1,2\n", 1<<20), "too-large",
			"cells.csv: about 1048578 rows of 2 columns need some 84 MiB of memory, and breakbook takes at most 64 " +
				"MiB", 0,
			files.LeastMemory},
	} {
		if err := os.WriteFile(c.name, []byte(c.data), 0o600); err != nil {
			t.Fatal(err)
		}
		files.SetMostMemory(c.memory)
		f, _, err := Open(t.Context(), c.name, Overrides{})
		var e *frames.Error
		if f != nil || !errors.As(err, &e) || e.Code != c.code || e.Line != c.line || e.Error() != c.message ||
			e.Hint == "" {
			t.Errorf("%s: %v (%+v); want %s line %d %s and a hint", c.name, err, e, c.code, c.line, c.message)
		}
	}
}

// Empty cells beyond the header's are passed over however many there may be.
func TestManyEmptyCellsBeyondTheHeader(t *testing.T) {
	f := opened(t, "a,b\n1,2"+strings.Repeat(",", cells.MostCells-2)+"\n")
	if f.Len() != 1 || len(f.Columns()) != 2 {
		t.Errorf("%d rows of %d columns", f.Len(), len(f.Columns()))
	}
}

// Wherever the reading of a long file is when its context ends, it ends soon after, and
// nothing of it goes on or stays.
func TestReadingEndsWithItsContext(t *testing.T) {
	rows := 200_000
	if testing.Short() {
		rows = 20_000
	}
	data := benchmarkFile(rows)
	path := filepath.Join(t.TempDir(), "x.csv")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	started := time.Now()
	if _, _, err := Open(t.Context(), path, Overrides{}); err != nil {
		t.Fatal(err)
	}
	whole := time.Since(started)
	idle := runtime.NumGoroutine()
	stopped := 0
	for tenth := range 10 {
		ctx, stop := context.WithTimeoutCause(t.Context(), whole*time.Duration(tenth)/10, errStopped)
		f, _, err := Open(ctx, path, Overrides{})
		stop()
		switch {
		case err == nil: // it was quicker than before
			continue
		case f != nil || !errors.Is(err, errStopped) && !errors.Is(err, context.DeadlineExceeded):
			t.Errorf("after %d tenths: %v, %v", tenth, f, err)
		}
		stopped++
		if now := runtime.NumGoroutine(); now > idle+1 { // the timer's own may be on its way out
			t.Errorf("after %d tenths %d goroutines, %d before", tenth, now, idle)
		}
	}
	if stopped == 0 {
		t.Error("none was stopped")
	}
	var after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&after)
	if held := after.HeapAlloc; held > uint64(len(data))+64<<20 {
		t.Errorf("%d bytes are held after reading was stopped", held)
	}
}

var errStopped = errors.New("stopped")

// A column of distinct numbers in any order is told from one with a number twice.
func TestDistinctNumbers(t *testing.T) {
	many := make([]float64, 3*bucketed)
	for i := range many {
		many[i] = float64((i * 7919) % len(many)) // 7919 is prime to the length, so each comes once
	}
	if !distinctNumbers(t.Context(), many) {
		t.Error("each comes once")
	}
	many[len(many)-1] = many[0]
	if distinctNumbers(t.Context(), many) {
		t.Error("one comes twice")
	}
	if !distinctNumbers(t.Context(), []float64{1, 2, 3}) ||
		distinctNumbers(t.Context(), []float64{0, 1, negativeZero}) {
		t.Error("rising numbers, or both zeros")
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	err := func() (err error) {
		defer parallel.Catch(&err)
		t.Errorf("a stopped look tells %v", distinctNumbers(ctx, many[:bucketed]))
		return nil
	}()
	if !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped look ends with %v", err)
	}
}

var negativeZero = math.Copysign(0, -1)
