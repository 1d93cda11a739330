//go:build unix

package files

import "syscall"

// withoutWaiting keeps the opening of a pipe from waiting for somebody to write to it.
const withoutWaiting = syscall.O_NONBLOCK
