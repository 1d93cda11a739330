// Package lesson carries the guided quarter of an hour: a text with lines to type, and the invented series of a
// workshop that it is about.
package lesson

import "embed"

// Files holds the series.
//
//go:embed dowels.csv
var Files embed.FS

// Text is the lesson: paragraphs, with each line to type in a fence of its own.
//
//go:embed lesson.md
var Text string

// Folder is where the lesson's lines look for the series and write to.
const Folder = "breakbook-lesson"
