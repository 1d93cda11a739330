package files

import "golang.org/x/sys/unix"

// inLargePages asks the system to lay a buffer that is about to be filled in pages as large as it
// has, where it does so on demand: filling a page for the first time costs more than reading into it.
func inLargePages(buffer []byte) {
	const worth = 4 << 20
	if len(buffer) >= worth {
		_ = unix.Madvise(buffer, unix.MADV_HUGEPAGE) // a system without them says so
	}
}
