package bench

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain lets garbage grow beside little in use, as the program does.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(512 << 20)
	os.Exit(m.Run())
}
