package files

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/KimMachineGun/automemlimit/memlimit"
)

// LeastMemory is the smallest limit of memory that can be set: less does not hold the
// program itself.
const LeastMemory = 64 << 20

// unknownMemory is taken for the memory of a machine that does not tell its own.
const unknownMemory = 8 << 30

// chosenMemory is the limit that was set; 0: none was.
var chosenMemory atomic.Int64

// MostMemory is how many bytes of memory the program allows itself: what SetMostMemory
// was given, else a quarter of the machine's, or of what the system lets the program have
// where that is less.
func MostMemory() int64 {
	if chosen := chosenMemory.Load(); chosen > 0 {
		return chosen
	}
	return max(quarterOfMachine(), LeastMemory)
}

// SetMostMemory sets the limit for the rest of the run; 0 goes back to the quarter. Less
// than LeastMemory is taken as LeastMemory.
func SetMostMemory(bytes int64) {
	if bytes > 0 {
		bytes = max(bytes, LeastMemory)
	}
	chosenMemory.Store(bytes)
}

// quarterOfMachine asks the machine once: every command, and every file, has to know.
var quarterOfMachine = sync.OnceValue(func() int64 {
	has, err := memlimit.FromSystem()
	if err != nil {
		has = unknownMemory
	}
	for _, allowed := range []memlimit.Provider{memlimit.FromCgroup, addressSpace} {
		if most, err := allowed(); err == nil {
			has = min(has, most)
		}
	}
	return int64(min(has, math.MaxInt64) / 4)
})

// MostTable is how long a file with a table may be, and what a gzip may unpack to: half of the memory that the program
// allows itself.
func MostTable() int64 { return MostMemory() / 2 }

// MoreMemory is the hint for a table that needs more memory than there may be.
func MoreMemory(bytes int64) string {
	return "open a part of it, or start breakbook with more: breakbook --memory " + FlagSize(bytes)
}

// FlagSize is a number of bytes as the flag --memory takes it, rounded up: "12GB".
func FlagSize(bytes int64) string {
	if bytes < 1<<30 {
		return fmt.Sprintf("%dMB", (bytes+1<<20-1)>>20)
	}
	return fmt.Sprintf("%dGB", (bytes+1<<30-1)>>30)
}

// ParseSize reads a number of bytes as a person writes it: `2GB`, `2 GiB`, `1500mb`. A
// number needs its unit; K, M, G and T count in steps of 1024, as Size writes them.
func ParseSize(text string) (int64, error) {
	word := strings.ToLower(strings.ReplaceAll(text, " ", ""))
	digits := strings.TrimRight(word, "abcdefghijklmnopqrstuvwxyz")
	unit := word[len(digits):]
	letter := strings.TrimSuffix(strings.TrimSuffix(unit, "b"), "i")
	power := strings.Index("kmgt", letter)
	x, err := strconv.ParseFloat(digits, 64)
	if err != nil || power < 0 || len(letter) != 1 || !(x > 0) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("%q is not an amount of memory such as 2GB", text)
	}
	bytes := math.Ldexp(x, 10*(power+1))
	if bytes > math.MaxInt64/2 {
		return 0, fmt.Errorf("%q is more memory than any machine has", text)
	}
	return int64(bytes), nil
}
