// Package pictures has the commands that draw a series or a fit. In come a call and the
// command; out comes a figure as a specification, which repl/figures draws.
package pictures
