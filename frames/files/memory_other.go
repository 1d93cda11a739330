//go:build !linux && !darwin

package files

import "github.com/KimMachineGun/automemlimit/memlimit"

// addressSpace has no limit here.
func addressSpace() (uint64, error) { return 0, memlimit.ErrNoLimit }
