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
	folder := b.TempDir()
	series, log := curveFiles(1000, 1000)
	seriesPath, logPath := filepath.Join(folder, "joints.csv"), filepath.Join(folder, "log.csv")
	for path, data := range map[string][]byte{seriesPath: series, logPath: log} {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(len(log)))
	for b.Loop() {
		_, n, err := readAndMeasure(context.Background(), seriesPath, logPath)
		if err != nil || n != 1000 {
			b.Fatalf("%v curves measured, %v", n, err)
		}
	}
}

func TestCurvesAreTimedOnCurvesThatWereMeasured(t *testing.T) {
	folder := t.TempDir()
	series, log := curveFiles(20, 400)
	seriesPath, logPath := filepath.Join(folder, "joints.csv"), filepath.Join(folder, "log.csv")
	for path, data := range map[string][]byte{seriesPath: series, logPath: log} {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	took, n, err := readAndMeasure(context.Background(), seriesPath, logPath)
	if err != nil || n != 20 || took <= 0 {
		t.Fatalf("%v curves measured in %v, %v", n, took, err)
	}
}
