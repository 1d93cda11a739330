//go:build !linux

package book

// moveNew gives a file a name that nothing has yet: where something has, the error is
// fs.ErrExist, and that stays.
func moveNew(from, to string) error { return linkNew(from, to) }
