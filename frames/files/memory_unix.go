//go:build linux || darwin

package files

import (
	"math"

	"golang.org/x/sys/unix"
)

// addressSpace is the limit on the program's address space in bytes; 0: none.
func addressSpace() int64 {
	var limit unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_AS, &limit); err != nil || limit.Cur >= math.MaxInt64 {
		return 0
	}
	return int64(limit.Cur)
}
