package reading

import (
	"bytes"
	"context"
	"errors"
	"runtime"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/reading/decoding"
	"breakbook/frames/workbook"
	"breakbook/models/parallel"
)

// Overrides replace what would be detected; zero values mean "detect".
type Overrides struct {
	Separator rune     // ',', ';', '\t' or '|'
	Decimal   rune     // '.' or ','
	Thousands rune     // '.', ',', ' ' (a blank of any kind), '\'' (either apostrophe) or NoThousands
	Encoding  string   // a name registered with IANA: "UTF-16", "windows-1250", "IBM850"
	HeaderRow int      // the line of the header, from 1; what is above is passed over
	NoHeader  bool     // there is none: the first line is a specimen
	UnitsRow  int      // the line that holds the units of the columns
	Missing   []string // the words that mean "no value", besides an empty cell, in place of the known ones
	Sheet     string   // of a workbook: the name of the sheet that is read
	Dates     string   // "day-month-year", "month-day-year" or "year-month-day"
}

// NoThousands says that no mark parts thousands.
const NoThousands = -1

// manyBytes are so many that the room of a file is given back before its frame takes room.
const manyBytes = 4 << 20

// Read reads the bytes of a CSV file or a workbook into a frame; path is only for messages and
// Source. It goes over the file once, straight into typed columns, and once more
// for the columns in which a word turned up after numbers. Errors are *Error, or the
// cause of ctx's end.
func Read(ctx context.Context, path string, data []byte,
	o Overrides) (f *frames.Frame, reading *frames.Reading, err error) {
	var source frames.Source
	held := [2][]byte{data, data} // each lets go of the text when it is done with it
	err = parallel.Each(ctx, len(held), func(ctx context.Context, i int) (err error) {
		text := held[i]
		held[i] = nil
		if i == 0 {
			f, reading, err = read(ctx, text, o)
			return err
		}
		source = frames.SourceOf(ctx, path, text)
		return nil
	})
	if err != nil {
		var e *frames.Error
		if errors.As(err, &e) {
			e.File = path
		}
		return nil, nil, err
	}
	source.Sheet = reading.Sheet
	return f.ReadFrom(source), reading, nil
}

func read(ctx context.Context, data []byte, o Overrides) (*frames.Frame, *frames.Reading, error) {
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	data, packed, err := decoding.Unpack(ctx, data)
	if err != nil {
		return nil, nil, err
	}
	in, err := inputOf(ctx, data, o)
	if err != nil {
		return nil, nil, err
	}
	parallel.Look(ctx)
	large := len(data) >= manyBytes
	t := &table{overrides: in.overrides, odd: in.odd}
	if err := t.place(in.from); err != nil {
		return nil, nil, err
	}
	if err := t.settle(ctx); err != nil {
		return nil, nil, err
	}
	reading := &frames.Reading{Separator: separatorName(t.rows.separator),
		Decimal:   notation.PartingName(t.notation.Decimal),
		Thousands: notation.PartingName(t.notation.Thousands), Encoding: in.encoding, Packed: packed,
		HeaderLine: t.rows.header, UpperLine: t.heading.line, UnitsLine: t.rows.units,
		MissingWords: metWords(t.rows.columns)}
	columns := slices.Clone(t.rows.columns)
	remarks := append(in.remarks, t.finish(ctx, reading)...)
	if s := in.sheet; s != nil {
		reading.Sheet, reading.Sheets = s.name, s.sheets
		remarks = append(remarks, s.oddRemarks(columns, t.rows.header)...)
	}
	if !slices.ContainsFunc(remarks, func(m frames.Remark) bool { return m.Code == "merged-cells" }) {
		remarks = append(remarks, t.blockStarts(ctx)...)
	}
	if len(t.rows.columns) == 0 {
		return nil, nil, &frames.Error{Code: "header-only", Line: t.rows.header,
			Detail: "there is neither a header nor a value in it"}
	}
	slices.SortStableFunc(remarks, func(a, b frames.Remark) int { return a.Line - b.Line })
	reading.Remarks = remarks
	if t.rows.from = nil; large {
		runtime.GC() // the room of the text is the frame's: new room costs more than this
	}
	return t.assemble(ctx, reading), reading, nil
}

// input is the bytes of a file as records.
type input struct {
	from      source
	overrides Overrides
	encoding  string
	remarks   []frames.Remark
	odd       decoding.Odd
	sheet     *sheetRead // nil for a text
}

// inputOf decodes a text, or finds the sheet of a workbook.
func inputOf(ctx context.Context, data []byte, o Overrides) (*input, error) {
	if workbook.Is(data) {
		s, err := readSheets(ctx, data, &o)
		if err != nil {
			return nil, err
		}
		return &input{from: wholeSheet(s.Table), overrides: o, remarks: s.remarks, sheet: s}, nil
	}
	if o.Sheet != "" {
		return nil, &frames.Error{Code: "bad-override", Word: o.Sheet,
			Detail: "this is no workbook, so it has no sheets", Hint: "leave out sheet"}
	}
	d, err := decoding.Decode(ctx, data, o.Encoding)
	if err != nil {
		return nil, err
	}
	if len(bytes.TrimSpace(d.Bytes)) == 0 {
		return nil, &frames.Error{Code: "empty-file", Detail: "there is nothing in it"}
	}
	return &input{from: lines{text: d.Bytes}, overrides: o, encoding: d.Encoding, remarks: d.Remarks, odd: d.Odd}, nil
}

// check refuses what the reader does not know.
func (o Overrides) check() error {
	refuse := func(word, detail, hint string) error {
		return &frames.Error{Code: "bad-override", Word: word, Detail: detail, Hint: hint}
	}
	_, known := notation.OrderCalled(o.Dates)
	switch {
	case o.HeaderRow > 0 && o.NoHeader:
		return &frames.Error{Code: "bad-override", Line: o.HeaderRow, Hint: "header none",
			Detail: "the header is in this line, or there is none"}
	case o.Separator != 0 && !strings.ContainsRune("\t;|,", o.Separator):
		return refuse(string(o.Separator), "cells are separated by comma, semicolon, tab or bar",
			"separated by semicolon")
	case o.Decimal != 0 && o.Decimal != '.' && o.Decimal != ',':
		return refuse(string(o.Decimal), "the decimal mark is a point or a comma", "decimal comma")
	case o.Thousands != 0 && o.Thousands != NoThousands && !strings.ContainsRune(",. '", o.Thousands):
		return refuse(string(o.Thousands), "thousands are parted by point, comma, space, apostrophe or none",
			"thousands space")
	case o.Thousands != 0 && o.Thousands == o.Decimal:
		return refuse(string(o.Decimal), "the same mark cannot part thousands and mark the decimals", "thousands none")
	case o.Separator != 0 && o.Separator == o.Decimal:
		return nil // cells in quotes may hold it
	case o.HeaderRow < 0 || o.UnitsRow < 0 || o.UnitsRow > 0 && o.UnitsRow == o.HeaderRow:
		return refuse("", "the header and the units stand in lines of their own, counted from 1",
			"header row 3 units in row 4")
	case !known:
		return refuse(o.Dates, "the order of dates is day-month-year, month-day-year or year-month-day",
			"dates as day-month-year")
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
