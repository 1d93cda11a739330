package files

import (
	"os"
	"path"
	"strconv"
	"strings"
)

// machineMemory is the machine's memory in bytes; 0: not known.
func machineMemory() int64 {
	text, err := os.ReadFile("/proc/meminfo")
	if err != nil {
		return 0
	}
	return memTotal(string(text))
}

// memTotal reads the line "MemTotal:       24683652 kB"; 0 where there is none.
func memTotal(text string) int64 {
	for line := range strings.Lines(text) {
		words := strings.Fields(line)
		if len(words) < 2 || words[0] != "MemTotal:" {
			continue
		}
		kib, err := strconv.ParseInt(words[1], 10, 64)
		if err != nil {
			return 0
		}
		return kib << 10
	}
	return 0
}

// allowedMemory is how much the system lets this program have, in bytes: by the limit on
// its address space or that of a control group it is in. 0: as much as there is.
func allowedMemory() int64 {
	least := addressSpace()
	text, err := os.ReadFile("/proc/self/cgroup")
	if err != nil {
		return least
	}
	for _, file := range groupLimits(string(text)) {
		if limit := limitIn(file); limit > 0 && (least == 0 || limit < least) {
			least = limit
		}
	}
	return least
}

// groupLimits are the files that may hold a limit of memory, for the control groups that
// /proc/self/cgroup lists: each group's own and those above it.
func groupLimits(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		parts := strings.SplitN(strings.TrimSpace(line), ":", 3)
		if len(parts) != 3 {
			continue
		}
		root, file := "/sys/fs/cgroup", "memory.max"
		switch parts[1] {
		case "":
		case "memory":
			root, file = "/sys/fs/cgroup/memory", "memory.limit_in_bytes"
		default:
			continue
		}
		for at := path.Clean("/" + parts[2]); ; at = path.Dir(at) {
			out = append(out, path.Join(root, at, file))
			if at == "/" {
				break
			}
		}
	}
	return out
}

// limitIn is the number of bytes in a file; 0 where there is none, or no limit.
func limitIn(file string) int64 {
	text, err := os.ReadFile(file)
	if err != nil {
		return 0
	}
	limit, err := strconv.ParseInt(strings.TrimSpace(string(text)), 10, 64)
	if err != nil { // "max"
		return 0
	}
	return limit
}
