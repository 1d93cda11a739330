package book

import "testing"

// LookedAt opens a report on every screen and holds it to what every report is held to.
func LookedAt(t *testing.T, path, name string) {
	t.Helper()
	lookedAt(t, path, name, func(string, seen) {})
}
