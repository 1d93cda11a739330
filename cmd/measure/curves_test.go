package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
)

// BenchmarkReadCurves reads and measures 10⁶ readings of 1,000 specimens through the
// program's own command: it is to stay under a second on two cores.
func BenchmarkReadCurves(b *testing.B) {
	series, log := curveFiles(1000, 1000)
	path := filepath.Join(b.TempDir(), "log.csv")
	if err := os.WriteFile(path, log, 0o600); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(log)))
	for b.Loop() {
		_, n, err := readAndMeasure(context.Background(), series, path)
		if err != nil || n != 1000 {
			b.Fatalf("%v curves measured, %v", n, err)
		}
	}
}

func TestCurvesAreTimedOnCurvesThatWereMeasured(t *testing.T) {
	series, log := curveFiles(20, 400)
	path := filepath.Join(t.TempDir(), "log.csv")
	if err := os.WriteFile(path, log, 0o600); err != nil {
		t.Fatal(err)
	}
	took, n, err := readAndMeasure(context.Background(), series, path)
	if err != nil || n != 20 || took <= 0 {
		t.Fatalf("%v curves measured in %v, %v", n, took, err)
	}
}
