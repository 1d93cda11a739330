// Package groups has the commands that ask about a response by levels: average, check,
// compare, same, characteristic and agree. In come a call and the command; out come the
// sentences and tables of levels compared, and the outcome they rest on.
package groups
