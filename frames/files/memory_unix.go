//go:build linux || darwin

package files

import (
	"github.com/KimMachineGun/automemlimit/memlimit"
	"golang.org/x/sys/unix"
)

// addressSpace is the limit on the program's address space in bytes.
func addressSpace() (uint64, error) {
	var limit unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_AS, &limit); err != nil {
		return 0, err
	}
	if most := uint64(limit.Cur); most < unix.RLIM_INFINITY {
		return most, nil
	}
	return 0, memlimit.ErrNoLimit
}
