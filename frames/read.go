package frames

import (
	"bytes"
	"errors"
	"slices"
	"strings"
)

// Overrides replace what would be detected; zero values mean "detect".
type Overrides struct {
	Separator rune     // ',', ';', '\t' or '|'
	Decimal   rune     // '.' or ','
	Missing   []string // the words that mean "no value", besides an empty cell, in place of the known ones
}

// Reading says how a file was understood and what was odd about it.
type Reading struct {
	Separator    string // "comma", "semicolon", "tab", "bar"
	Decimal      string // "point", "comma"
	Encoding     string // "UTF-8", "UTF-8 with byte-order mark", "UTF-16", "Windows-1252"
	HeaderLine   int
	MissingWords []string // the words met that were taken as missing, in file order; empty cells are not among them
	Look         string   // the .look.json beside it that said all this, "" where none did
	Remarks      []Remark // things a person should be told, in file order
}

// Remark is one odd thing about a file: data, to be put into words by repl/say.
//
// The codes, with what Line, Word and Count hold (Line is always the first):
//
//	decoded-windows-1252  the first line with a byte that is no UTF-8; Count such bytes
//	numbers-in-header     every header cell is a number: the header may be missing
//	duplicate-header      Column is the new name, Word the header as written
//	no-header             a column without a header; Column is the name it got
//	empty-column          a column with a header and no value
//	mass-as-load          a load or force in a mass unit; Word is the unit
//	leading-zeros         numbers such as 007, so the column is no number column; Word the first
//	big-whole-number      whole numbers beyond 2^53, so the column is no number column
//	mixed-units           numbers in different units, or with and without one, so it is text
//	other-decimal-mark    Count numbers with the other decimal mark or parted thousands, so it is text
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
// for the columns in which a word turned up after numbers. Errors are *Error.
func Read(path string, data []byte, o Overrides) (*Frame, *Reading, error) {
	sum := fingerprint(data)
	f, reading, err := read(data, o)
	if err != nil {
		var e *Error
		if errors.As(err, &e) {
			e.File = path
		}
		return nil, nil, err
	}
	f.source = Source{Path: path, SHA256: <-sum, Bytes: int64(len(data))}
	return f, reading, nil
}

func read(data []byte, o Overrides) (*Frame, *Reading, error) {
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	text, encoding, remarks, err := decode(data)
	if err != nil {
		return nil, nil, err
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return nil, nil, &Error{Code: "empty-file", Detail: "there is nothing in it"}
	}
	separator := byte(o.Separator)
	if separator == 0 {
		separator = detectSeparator(text)
	}
	quoted := bytes.IndexByte(text, '"') >= 0
	if text, err = mendQuotes(text, separator); err != nil {
		return nil, nil, err
	}
	decimal := byte(o.Decimal)
	if decimal == 0 {
		decimal = detectDecimal(text, separator)
	}
	t := &table{rows: &rowReader{text: text, separator: separator, quoted: quoted}, missing: o.Missing}
	if err := t.fill(decimal); err != nil {
		return nil, nil, err
	}
	if o.Decimal == 0 && decimal == '.' && t.commasOnly() {
		decimal = ','
		if err := t.fill(decimal); err != nil {
			return nil, nil, err
		}
	}
	if len(t.rows.lines) == 0 {
		return nil, nil, &Error{Code: "header-only", Line: t.rows.header, Detail: "there is a header but no specimens under it"}
	}
	remarks = append(remarks, t.finish()...)
	if len(t.rows.columns) == 0 {
		return nil, nil, &Error{Code: "header-only", Line: t.rows.header, Detail: "there is neither a header nor a value in it"}
	}
	slices.SortStableFunc(remarks, func(a, b Remark) int { return a.Line - b.Line })
	reading := &Reading{Separator: separatorName(separator), Decimal: "point", Encoding: encoding,
		HeaderLine: t.rows.header, MissingWords: t.absent.met, Remarks: remarks}
	if decimal == ',' {
		reading.Decimal = "comma"
	}
	f := assemble(t.rows.columns, t.rows.lines, decimal)
	f.absent = t.absent.met
	return f, reading, nil
}

// check refuses marks the reader does not know.
func (o Overrides) check() error {
	if o.Separator != 0 && !strings.ContainsRune("\t;|,", o.Separator) {
		return &Error{Code: "bad-override", Word: string(o.Separator), Detail: "cells are separated by comma, semicolon, tab or bar"}
	}
	if o.Decimal != 0 && o.Decimal != '.' && o.Decimal != ',' {
		return &Error{Code: "bad-override", Word: string(o.Decimal), Detail: "the decimal mark is a point or a comma"}
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
