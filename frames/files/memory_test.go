package files

import (
	"testing"

	"github.com/KimMachineGun/automemlimit/memlimit"
)

func TestSizesOfMemory(t *testing.T) {
	for text, want := range map[string]int64{
		"2GB": 2 << 30, "2 GiB": 2 << 30, "2g": 2 << 30, "1500mb": 1500 << 20, "0.5 TB": 512 << 30,
		"70000K": 70000 << 10,
	} {
		if got, err := ParseSize(text); err != nil || got != want {
			t.Errorf("%q: %d, %v; want %d", text, got, err, want)
		}
	}
	wrong := []string{"", "2", "GB", "-2GB", "2B", "2iB", "2i", "2km", "2mg", "2XB", "0GB", "1e30GB", "infGB", "nanGB",
		"2GBB", "2GiiB", "2 pigs"}
	for _, text := range wrong {
		if got, err := ParseSize(text); err == nil {
			t.Errorf("%q: %d", text, got)
		}
	}
}

func TestTheLimitOfMemoryIsAQuarterUnlessSet(t *testing.T) {
	t.Cleanup(func() { SetMostMemory(0) })
	machine, err := memlimit.FromSystem()
	if err != nil {
		machine = unknownMemory
	}
	if got := MostMemory(); uint64(got) > machine/4 || got < LeastMemory {
		t.Errorf("%s of the machine's %s", Size(got), Size(int64(machine)))
	}
	SetMostMemory(3 << 30)
	if got := MostMemory(); got != 3<<30 {
		t.Errorf("set to 3 GiB, is %s", Size(got))
	}
	SetMostMemory(1)
	if got := MostMemory(); got != LeastMemory {
		t.Errorf("set to one byte, is %s", Size(got))
	}
}
