//go:build !linux

package main

import "os"

// peakMemory is known only where Linux counts it.
func peakMemory(*os.ProcessState) int64 { return 0 }
