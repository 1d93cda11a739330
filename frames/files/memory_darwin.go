package files

import (
	"math"

	"golang.org/x/sys/unix"
)

// machineMemory is the machine's memory in bytes; 0: not known.
func machineMemory() int64 {
	bytes, err := unix.SysctlUint64("hw.memsize")
	if err != nil || bytes > math.MaxInt64 {
		return 0
	}
	return int64(bytes)
}

// allowedMemory is how much the system lets this program have; 0: as much as there is.
func allowedMemory() int64 { return addressSpace() }
