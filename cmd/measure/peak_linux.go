package main

import (
	"os"
	"syscall"
	"time"
)

// peakMemory is the most memory a finished process held, in bytes; 0 where unknown.
func peakMemory(p *os.ProcessState) int64 {
	if usage, ok := p.SysUsage().(*syscall.Rusage); ok {
		return int64(usage.Maxrss) << 10
	}
	return 0
}

// ownProcessor is the processor time this process has used, in user and system mode.
func ownProcessor() time.Duration {
	var usage syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &usage) != nil {
		return 0
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
}
