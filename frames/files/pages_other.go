//go:build !linux

package files

func inLargePages([]byte) {}
