package repl

import (
	"context"
	"fmt"
	"runtime/debug"
	"runtime/metrics"
	"time"

	disk "breakbook/frames/files"
	"breakbook/repl/page"
)

// keepWithin has the garbage collector keep the program within its limit of memory as far
// as it can: only what is in use can then go past it.
func keepWithin() {
	debug.SetMemoryLimit(disk.MostMemory())
	keepLean()
}

// keepLean has the collector come round the sooner the more is in use: at a million specimens a picture then
// stays within the memory that opening them takes, for about a tenth more work, and a handful of commands on a
// small series is over before it comes at all.
func keepLean() {
	sample := []metrics.Sample{{Name: inUse}}
	metrics.Read(sample)
	if sample[0].Value.Kind() == metrics.KindUint64 {
		debug.SetGCPercent(spare(sample[0].Value.Uint64()))
	}
}

// spare is to how many hundredths of what is in use garbage may grow beside it.
func spare(inUse uint64) int {
	switch {
	case inUse > 64<<20:
		return 35
	case inUse > 24<<20:
		return 100
	default:
		return 400
	}
}

// watchEvery is how often the memory in use is looked at while a command works.
const watchEvery = 20 * time.Millisecond

// inUse is the metric of what the heap holds.
const inUse = "/memory/classes/heap/objects:bytes"

// watchMemory ends ctx with a problem once the program holds more memory than it allows
// itself; it returns when ctx is done.
func watchMemory(ctx context.Context, end context.CancelCauseFunc) {
	most := disk.MostMemory()
	sample := []metrics.Sample{{Name: inUse}}
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if metrics.Read(sample); sample[0].Value.Kind() == metrics.KindUint64 &&
			sample[0].Value.Uint64() > uint64(most) {
			end(tooBig(most))
			return
		}
	}
}

// tooBig is the problem of a command that needs more memory than there may be.
func tooBig(most int64) *page.Problem {
	return page.Refuse(page.CodeTooBig, 0, fmt.Sprintf("this needs more memory than the %s that breakbook allows "+
		"itself; the book is as it was", disk.Size(most)), "close a series that is not needed, or start breakbook "+
		"with more: breakbook --memory "+disk.FlagSize(2*most))
}
