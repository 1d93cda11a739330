// Package bench runs one command of the bench language on a session. In come a session
// and a parsed command; out come the next session and the entry, with what is the same for
// every command done once: the handler found by the command's type, results named, entries
// booked, questions counted, cautions added, reruns with specimens back, `each of`, `again`
// and `undo`. It is the only importer of the families.
package bench
