// Package modes has the commands about ways of failing: count, modes, odds, the strength of
// one mode, and their pictures. In come a call and the command; out come chances and
// strengths in sentences and tables.
package modes
