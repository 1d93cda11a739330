package files

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

func TestTheMachineTellsItsMemory(t *testing.T) {
	if got := memTotal("MemFree: 1 kB\nMemTotal:       24683652 kB\n"); got != 24683652<<10 {
		t.Errorf("%d", got)
	}
	if got := memTotal("MemFree: 1 kB\n"); got != 0 {
		t.Errorf("%d of nothing", got)
	}
	if machineMemory() < LeastMemory {
		t.Errorf("this machine has %d bytes", machineMemory())
	}
}

func TestLimitsOfControlGroups(t *testing.T) {
	got := groupLimits("0::/user/bench\n5:memory:/box\n3:cpu:/box\nnothing\n")
	want := []string{
		"/sys/fs/cgroup/user/bench/memory.max", "/sys/fs/cgroup/user/memory.max", "/sys/fs/cgroup/memory.max",
		"/sys/fs/cgroup/memory/box/memory.limit_in_bytes", "/sys/fs/cgroup/memory/memory.limit_in_bytes",
	}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	for text, want := range map[string]int64{"max\n": 0, "1073741824\n": 1 << 30, "": 0} {
		file := filepath.Join(t.TempDir(), "memory.max")
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if got := limitIn(file); got != want {
			t.Errorf("%q: %d", text, got)
		}
	}
}
