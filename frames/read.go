package frames

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"strings"

	"breakbook/frames/notation"
	"breakbook/models/parallel"
)

// Overrides replace what would be detected; zero values mean "detect".
type Overrides struct {
	Separator rune     // ',', ';', '\t' or '|'
	Decimal   rune     // '.' or ','
	Thousands rune     // '.', ',', ' ' (a blank of any kind), '\'' (either apostrophe) or NoThousands
	Encoding  string   // a name registered with IANA: "UTF-16", "windows-1250", "IBM850"
	HeaderRow int      // the line of the header, from 1; what is above is passed over
	UnitsRow  int      // the line that holds the units of the columns
	Missing   []string // the words that mean "no value", besides an empty cell, in place of the known ones
	Dates     string   // "day-month-year", "month-day-year" or "year-month-day"
}

// NoThousands says that no mark parts thousands.
const NoThousands = -1

// Reading says how a file was understood and what was odd about it.
type Reading struct {
	Separator    string // "comma", "semicolon", "tab", "bar"
	Decimal      string // "point", "comma"
	Thousands    string // "none", "comma", "point", "space", "apostrophe"
	Encoding     string // "UTF-8", "UTF-8 with byte-order mark", "UTF-16", "UTF-16 without byte-order mark", "Windows-1252", or the name given
	Packed       bool   // it was a gzip
	HeaderLine   int
	UnitsLine    int      // the line that holds only units; 0 for none
	Dates        string   // the order of its dates: "year-month-day", "day-month-year", "month-day-year"; "" without dates
	DateColumns  []string // the columns that hold nothing but dates; they are kept word for word
	MissingWords []string // the words met that were taken as missing, in file order; empty cells are not among them
	Extents      []Extent // of each column, as read; nil where a look said what the file holds
	Look         string   // the .look.json beside it that said all this, "" where none did
	Remarks      []Remark // things a person should be told, in file order
}

// Remark is one odd thing about a file: data, to be put into words by repl/say.
//
// The codes, with what Line, Word and Count hold (Line is always the first):
//
//	decoded-windows-1252  the first line with a byte that is no UTF-8; Count such bytes
//	odd-bytes             Count cells of Column hold bytes that are in no letter of the encoding (Word the first) and
//	                      are missing; without Column, Count such bytes stand outside the cells
//	numbers-in-header     every header cell is a number: the header may be missing
//	duplicate-header      Column is the new name, Word the header as written
//	no-header             a column without a header; Column is the name it got
//	empty-column          a column with a header and no value
//	mass-as-load          a load or force in a mass unit; Word is the unit
//	leading-zeros         numbers such as 007, so the column is no number column; Word the first
//	big-whole-number      whole numbers beyond 2^53, so the column is no number column
//	mixed-units           numbers in different units, or with and without one, so it is text
//	other-decimal-mark    Count numbers with the other decimal mark or parted thousands, so it is text
//	guessed-thousands     Count numbers such as 1.234 (Word), read as 1234 since the other mark marks the decimals
//	doubtful-decimal      Word is a number such as 1.234, read as 1.234; the mark might part thousands
//	preamble              Count records above the header, passed over; Word what the first starts with
//	unknown-unit          Word stands in the row of units and is no unit known here
//	two-units             the header's unit is taken; Word in the row of units is another
//	ambiguous-dates       Word could be day or month first; day first is taken
//	mixed-dates           Word is two dates, one that has the day first and one the month
//	odd-date              Word is not a date in the order given
//	stray-word            Count words among numbers, so the column is text; Word the first
//	short-row             Count rows shorter than the header; the rest is missing
//	extra-blank-cells     Count rows with empty cells beyond the header's
//	blank-lines           Count blank lines, passed over
//	blank-lines-missing   the same in a file of one column, where each is a missing value
//	empty-rows            Count rows with nothing in any cell, passed over
//	look-other-file       the .look.json Word was made for other contents than the file's, so it was not used
//	look-broken           the .look.json Word is damaged or nothing that breakbook wrote, so it was not used
//	look-overridden       the .look.json Word was not used because the command says how to read the file
type Remark struct {
	Code   string
	Column string
	Line   int
	Word   string
	Count  int
}

// Read reads the bytes of a CSV file into a frame; path is only for messages and
// Source. It goes over the file once, straight into typed columns, and once more
// for the columns in which a word turned up after numbers. Errors are *Error, or the
// cause of ctx's end.
func Read(ctx context.Context, path string, data []byte, o Overrides) (f *Frame, reading *Reading, err error) {
	var source Source
	err = parallel.Each(ctx, 2, func(ctx context.Context, i int) (err error) {
		if i == 0 {
			f, reading, err = read(ctx, data, o)
			return err
		}
		source, err = SourceOf(ctx, path, data)
		return err
	})
	if err != nil {
		var e *Error
		if errors.As(err, &e) {
			e.File = path
		}
		return nil, nil, err
	}
	return f.ReadFrom(source), reading, nil
}

func read(ctx context.Context, data []byte, o Overrides) (*Frame, *Reading, error) {
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	data, packed, err := unpack(ctx, data)
	if err != nil {
		return nil, nil, err
	}
	d, err := decode(ctx, data, o.Encoding)
	if err != nil {
		return nil, nil, err
	}
	if len(bytes.TrimSpace(d.text)) == 0 {
		return nil, nil, &Error{Code: "empty-file", Detail: "there is nothing in it"}
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	t := &table{overrides: o, odd: d.odd}
	if err := t.place(d.text); err != nil {
		return nil, nil, err
	}
	if err := t.settle(ctx); err != nil {
		return nil, nil, err
	}
	reading := &Reading{Separator: separatorName(t.rows.separator), Decimal: notation.PartingName(t.notation.Decimal),
		Thousands: notation.PartingName(t.notation.Thousands), Encoding: d.encoding, Packed: packed,
		HeaderLine: t.rows.header, UnitsLine: t.rows.units, MissingWords: metWords(t.rows.columns)}
	more, err := t.finish(ctx, reading)
	if err != nil {
		return nil, nil, err
	}
	remarks := append(d.remarks, more...)
	if len(t.rows.columns) == 0 {
		return nil, nil, &Error{Code: "header-only", Line: t.rows.header, Detail: "there is neither a header nor a value in it"}
	}
	slices.SortStableFunc(remarks, func(a, b Remark) int { return a.Line - b.Line })
	reading.Remarks = remarks
	f, err := t.assemble(ctx, reading)
	if err != nil {
		return nil, nil, err
	}
	return f, reading, nil
}

// check refuses what the reader does not know.
func (o Overrides) check() error {
	refuse := func(word, detail, hint string) error {
		return &Error{Code: "bad-override", Word: word, Detail: detail, Hint: hint}
	}
	_, known := notation.OrderCalled(o.Dates)
	switch {
	case o.Separator != 0 && !strings.ContainsRune("\t;|,", o.Separator):
		return refuse(string(o.Separator), "cells are separated by comma, semicolon, tab or bar", "separated by semicolon")
	case o.Decimal != 0 && o.Decimal != '.' && o.Decimal != ',':
		return refuse(string(o.Decimal), "the decimal mark is a point or a comma", "decimal comma")
	case o.Thousands != 0 && o.Thousands != NoThousands && !strings.ContainsRune(",. '", o.Thousands):
		return refuse(string(o.Thousands), "thousands are parted by point, comma, space, apostrophe or none", "thousands space")
	case o.Thousands != 0 && o.Thousands == o.Decimal:
		return refuse(string(o.Decimal), "the same mark cannot part thousands and mark the decimals", "thousands none")
	case o.Separator != 0 && o.Separator == o.Decimal:
		return nil // cells in quotes may hold it
	case o.HeaderRow < 0 || o.UnitsRow < 0 || o.UnitsRow > 0 && o.UnitsRow == o.HeaderRow:
		return refuse("", "the header and the units stand in lines of their own, counted from 1", "header row 3 units in row 4")
	case !known:
		return refuse(o.Dates, "the order of dates is day-month-year, month-day-year or year-month-day", "dates as day-month-year")
	}
	return nil
}

func separatorName(mark byte) string {
	for _, s := range separators {
		if s.mark == mark {
			return s.name
		}
	}
	return ""
}
