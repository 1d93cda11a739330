//go:build !linux && !darwin && !windows

package files

// machineMemory is 0: it is not known here.
func machineMemory() int64 { return 0 }

// allowedMemory is 0: no limit is known here.
func allowedMemory() int64 { return 0 }
