//go:build !linux

package main

import (
	"os"
	"time"
)

// peakMemory is known only where Linux counts it.
func peakMemory(*os.ProcessState) int64 { return 0 }

// ownProcessor is known only where Linux counts it.
func ownProcessor() time.Duration { return 0 }
