package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

// A short run must open its file in the program, say how it compares or what to
// install, and show every length of file.
func TestReadingPrintsItsTables(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program and times it, without -short")
	}
	var out bytes.Buffer
	if err := measureReading(context.Background(), []string{"--rows", "300", "--times", "1", "--most", "100000"},
		&out); err != nil {
		t.Fatal(err)
	}
	got := out.String()
	if !strings.Contains(got, "pandas read_csv alone") && !strings.Contains(got, "python3-pandas") {
		t.Errorf("neither a comparison nor what to install in\n%s", got)
	}
	for _, want := range []string{"300 rows × 5 columns", "breakbook, whole process", " 10000 ", " 100000 ",
		"load after"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	out.Reset()
	if err := measureReading(context.Background(), []string{"--rows", "300", "--times", "1", "--most", "1", "--python",
		"no-such-python"}, &out); err != nil || !strings.Contains(out.String(), "python3-pandas") {
		t.Errorf("without pandas: %v\n%s", err, out.String())
	}
}
