// Package series has the commands that bring test results in and put them right. In come
// a call and the command; out come tables of columns and specimens, and a series under
// which the session goes on. A file is named after its command.
package series
