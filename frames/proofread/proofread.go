// Package proofread looks at the rows of a series as a careful reader would, and says what a
// person should look at: rows that are sums of others, rows and names given twice, slips of a
// unit or a digit, levels that are spelled in two ways. It gives data and no words, and changes
// nothing.
package proofread

import (
	"cmp"
	"context"
	"slices"

	"breakbook/frames"
	"breakbook/models/parallel"
)

// Code says what a remark is about.
type Code string

// The codes, the worst first, with what a remark of each holds beside its rows.
const (
	Sum    Code = "sum-row"    // Rows[0] sums others up: Stat of rows First to Last, in Columns
	Called Code = "called-sum" // Column calls Rows, which are none, figures of others: the first Word, and so Stat
	Note   Code = "note-row"   // Rows hold nothing but a text in Column, the first Word, and no name
	// Rows of Column are about Factor times the rest, or (Factor 0) the rest in degrees Word; Value is the cut between
	TwoUnits Code = "two-units"
	// Column of Rows[0] is about Factor times what is expected; Should is the value without
	Slip Code = "slip"
	Zero Code = "zero" // Column of Rows is nothing where all else is well above it
	// Column of Rows is negative where nothing else is; Should is the first's amount. Of 0: where all is.
	Negative  Code = "negative"
	RowTwice  Code = "row-twice"  // Rows[1:] repeat Rows[0] in every column, but for the name where Column is set
	NameTwice Code = "name-twice" // Column calls Rows by one name, Word
	// Levels of Column, the commonest (of two: the first met) first, look like one, with Counts specimens
	Alike     Code = "alike-levels"
	AlmostNum Code = "almost-number" // Column is numbers but for Rows, the first Word
	LoneLevel Code = "lone-level"    // Word of Column is met in Rows[0] alone
	DateOrder Code = "date-order"    // Column of Rows[0] is a date (Word) out of order; Meant the one that fits, if any
	OneValue  Code = "one-value"     // Column is Word wherever it is not missing
)

// Remark is one thing that a careful reader would ask about. Rows count from 0.
type Remark struct {
	Code    Code
	Column  string
	Rows    []int
	Aside   bool     // of a sum: it is set aside already
	Stat    Stat     // of a sum, and of what is called one
	First   int      // of a sum: the first row it is of
	Last    int      // of a sum: the last one
	Of      int      // of a sum: how many rows; of others: how many the remark is compared with
	Columns []string // of a sum: those that it fits
	Levels  []string
	Counts  []int
	Word    string
	Meant   string  // of a date: the one that was probably meant, "" where none is near
	Factor  float64 // of a slip: the value is that many times what is expected (below 1: a part of it)
	Value   float64 // as it stands
	Should  float64 // as it would be without the slip
	Usual   float64 // about what is expected of it
}

// Stat is what a row is of the rows above it.
type Stat string

// What a row can be of others.
const (
	Total    Stat = "sum"
	Mean     Stat = "mean"
	Median   Stat = "median"
	SD       Stat = "standard deviation"
	Variance Stat = "variance"
	StdError Stat = "standard error"
	CV       Stat = "coefficient of variation"
	Least    Stat = "smallest"
	Most     Stat = "largest"
	Range    Stat = "range"
	Count    Stat = "number"
)

// Long is from how many rows on Quick leaves out what takes a look at every row.
const Long = 100_000

// Options say how thorough a reading is.
type Options struct {
	// Quick leaves out of a series of Long rows or more what needs all of them: slips, two units, rows
	// and names given twice, levels met once, dates; sums are looked for at its foot alone.
	Quick bool
}

// Read gives the remarks on a series, the worst first. What is set aside is not remarked upon,
// but for rows that sum others up. The error is ctx's own.
func Read(ctx context.Context, f *frames.Frame, o Options) (all []Remark, err error) {
	defer parallel.Catch(&err)
	t := newTable(ctx, f, o.Quick && f.Len() >= Long)
	for _, look := range []func(*table) []Remark{sums, called, notes, values, doubles, names, spellings, almostNumbers,
		loneLevels, dates, oneValue} {
		parallel.Look(ctx)
		all = append(all, look(t)...)
	}
	all = slices.DeleteFunc(all, func(r Remark) bool { // rows entered twice have their names twice as well
		return r.Code == NameTwice && slices.ContainsFunc(all, func(o Remark) bool {
			return o.Code == RowTwice && slices.Equal(o.Rows, r.Rows)
		}) || r.Code == AlmostNum && slices.ContainsFunc(all, func(o Remark) bool { // a note is told for itself
			return o.Code == Note && o.Column == r.Column && slices.Equal(o.Rows, r.Rows)
		})
	})
	slices.SortStableFunc(all, func(a, b Remark) int {
		return cmp.Compare(slices.Index(worst, a.Code), slices.Index(worst, b.Code))
	})
	return all, nil
}

// Sums gives the remarks on rows that sum others up alone.
func Sums(ctx context.Context, f *frames.Frame, o Options) (all []Remark, err error) {
	defer parallel.Catch(&err)
	return sums(newTable(ctx, f, o.Quick && f.Len() >= Long)), nil
}

// Twice gives the remarks on rows entered twice alone.
func Twice(ctx context.Context, f *frames.Frame, o Options) (all []Remark, err error) {
	defer parallel.Catch(&err)
	return doubles(newTable(ctx, f, o.Quick && f.Len() >= Long)), nil
}

// Spellings gives the remarks on levels that look like one alone. It is parallel.Stopped where ctx ends.
func Spellings(ctx context.Context, f *frames.Frame) []Remark {
	return spellings(newTable(ctx, f, false))
}

// worst are the codes in the order in which they are told.
var worst = []Code{Sum, Called, Note, TwoUnits, Slip, Negative, Zero, Alike, RowTwice, AlmostNum, NameTwice, DateOrder,
	LoneLevel, OneValue}
