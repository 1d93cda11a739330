// Package demo carries the shipped example: the invented series of a garden-gate
// workshop and the book that works through them. TRUTH.md beside it says what is true.
package demo

import "embed"

// Files holds the demo's CSV files and its book, all at the top level.
//
//go:embed *.csv demo.brk
var Files embed.FS

// Book is the name in Files of the book that the demo runs.
const Book = "demo.brk"
