package main

import (
	"os"
	"syscall"
)

// peakMemory is the most memory a finished process held, in bytes; 0 where unknown.
func peakMemory(p *os.ProcessState) int64 {
	if usage, ok := p.SysUsage().(*syscall.Rusage); ok {
		return int64(usage.Maxrss) << 10
	}
	return 0
}
