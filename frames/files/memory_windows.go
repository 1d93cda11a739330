package files

import (
	"math"
	"unsafe"

	"golang.org/x/sys/windows"
)

// memoryStatus is MEMORYSTATUSEX of the Windows API.
type memoryStatus struct {
	length, load                           uint32
	physical, freePhysical                 uint64
	pageFile, freePageFile                 uint64
	addresses, freeAddresses, freeExtended uint64
}

var globalMemoryStatusEx = windows.NewLazySystemDLL("kernel32.dll").NewProc("GlobalMemoryStatusEx")

// machineMemory is the machine's memory in bytes; 0: not known.
func machineMemory() int64 {
	var status memoryStatus
	status.length = uint32(unsafe.Sizeof(status))
	if globalMemoryStatusEx.Find() != nil {
		return 0
	}
	worked, _, _ := globalMemoryStatusEx.Call(uintptr(unsafe.Pointer(&status)))
	if worked == 0 || status.physical > math.MaxInt64 {
		return 0
	}
	return int64(status.physical)
}

// allowedMemory is how much the system lets this program have; 0: as much as there is.
func allowedMemory() int64 { return 0 }
