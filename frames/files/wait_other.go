//go:build !unix

package files

// withoutWaiting is nothing where opening a file never waits.
const withoutWaiting = 0
