// Package workbook reads the cells of a spreadsheet workbook (.xlsx, ECMA-376) out of its
// bytes: formulas by their stored values, numbers with every stored digit, dates and
// percentages as the sheet shows them. A workbook is a zip of XML parts; only the parts that
// say which sheets there are, how numbers look and what the cells hold are ever unpacked, each
// a little at a time, within a bound and while the context lasts. Nothing is run, written or
// followed: a link that leads out of the zip leads nowhere.
package workbook

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"path"
	"strings"

	"breakbook/frames"
)

// Sheet is one sheet of a workbook.
type Sheet struct {
	Name   string
	Hidden bool
	Kind   Kind
	part   string // its name in the zip; "" where there is none
}

// Kind is what a sheet holds.
type Kind uint8

const (
	Cells Kind = iota // rows and columns
	Chart
	Other // a dialog, or a sheet of old macros
)

// Book is a workbook whose sheets are known and not yet read.
type Book struct {
	Sheets []Sheet
	Macros bool // it holds macros, which are never run

	parts   map[string]*zip.File // by name, in lower case
	left    int64                // how many bytes may yet be unpacked
	most    int64
	days    calendar
	formats []format // by the style of a cell
	strings []string // that cells share; nil before they are read
	shared  string   // the part that holds them
}

// First bytes of a zip, of an empty one, and of a compound file, as old binary workbooks and
// encrypted ones are.
var (
	zipMark      = []byte("PK\x03\x04")
	emptyZipMark = []byte("PK\x05\x06")
	compoundMark = []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
)

// Is tells a workbook, or a file of another kind that spreadsheets are kept in, by its first
// bytes, whatever it is called.
func Is(data []byte) bool {
	return bytes.HasPrefix(data, zipMark) || bytes.HasPrefix(data, emptyZipMark) || bytes.HasPrefix(data, compoundMark)
}

// export is the way out of a file that is not read.
const export = "save it as .xlsx, or export the sheet as CSV, and open that"

// Open finds the sheets of a workbook, of which at most so many bytes are unpacked, now and
// when sheets are read; the cells of a sheet may take twice as much. Errors are *frames.Error:
// "other-workbook" (a kind that is not read),
// "locked-workbook" (by a password), "damaged-workbook", "binary" (no workbook), "too-large",
// "grows-too-far"; or the context's.
func Open(ctx context.Context, data []byte, most int64) (*Book, error) {
	if bytes.HasPrefix(data, compoundMark) {
		return nil, compound(data)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, &frames.Error{Code: "damaged-workbook",
			Detail: "it starts as a workbook and its end is missing or damaged", Hint: "fetch or copy the file again",
			Err: err}
	}
	b := &Book{parts: map[string]*zip.File{}, left: most, most: most}
	for _, f := range z.File {
		if name := partName(f.Name); b.parts[name] == nil {
			b.parts[name] = f
		}
	}
	if err := b.otherKind(ctx); err != nil {
		return nil, err
	}
	return b, b.outline(ctx)
}

// partName is how a part is looked up: with slashes and in lower case, from the root.
func partName(name string) string {
	return strings.TrimPrefix(path.Clean("/"+strings.ToLower(strings.ReplaceAll(name, `\`, "/"))), "/")
}

// compound tells what a compound file is: an encrypted workbook has a stream of this name, in
// UTF-16, in its directory.
func compound(data []byte) error {
	var wide []byte
	for _, c := range []byte("EncryptedPackage") {
		wide = append(wide, c, 0)
	}
	if bytes.Contains(data, wide) {
		return locked()
	}
	return &frames.Error{Code: "other-workbook", Hint: export,
		Detail: "this is an old binary workbook (.xls), which is not read"}
}

func locked() error {
	return &frames.Error{Code: "locked-workbook", Detail: "this workbook is protected by a password",
		Hint: "save it without a password, or export the sheet as CSV, and open that"}
}

// otherKind refuses a zip that is no workbook of cells in XML.
func (b *Book) otherKind(ctx context.Context) error {
	other := func(what string) error {
		return &frames.Error{Code: "other-workbook", Detail: "this is " + what + ", which is not read", Hint: export}
	}
	switch {
	case b.parts["xl/workbook.bin"] != nil:
		return other("a binary workbook (.xlsb)")
	case b.parts["index/document.iwa"] != nil, b.parts["index.zip"] != nil:
		return other("a spreadsheet of Numbers")
	case b.parts["mimetype"] != nil:
		text, err := b.whole(ctx, "mimetype", 200)
		if err != nil {
			return err
		}
		if strings.Contains(string(text), "opendocument.spreadsheet") {
			return other("an OpenDocument spreadsheet (.ods)")
		}
	}
	if b.parts["[content_types].xml"] == nil && b.parts["_rels/.rels"] == nil {
		return notOne()
	}
	return nil
}

func notOne() error {
	return &frames.Error{Code: "binary", Detail: "this is a zip archive without a workbook in it",
		Hint: "unpack it, and open a CSV or a workbook"}
}

// related is what a part is to another.
type related struct{ kind, target string }

// relations are what a part refers to, by id; links that lead out of the zip are left out.
func (b *Book) relations(ctx context.Context, part string) (map[string]related, error) {
	name := "_rels/.rels"
	if part != "" {
		name = path.Join(path.Dir(part), "_rels", path.Base(part)+".rels")
	}
	out := map[string]related{}
	if b.parts[partName(name)] == nil {
		return out, nil
	}
	err := b.elements(ctx, name, func(e xml.StartElement) {
		if e.Name.Local != "Relationship" || strings.EqualFold(attribute(e, "TargetMode"), "External") {
			return
		}
		target := attribute(e, "Target")
		if !strings.HasPrefix(target, "/") {
			target = path.Join(path.Dir(part), target)
		}
		out[attribute(e, "Id")] = related{path.Base(attribute(e, "Type")), partName(target)}
	})
	return out, err
}

// outline reads which sheets there are, the calendar and the styles.
func (b *Book) outline(ctx context.Context) error {
	top, err := b.relations(ctx, "")
	if err != nil {
		return err
	}
	main := ""
	for _, r := range top {
		if r.kind == "officeDocument" {
			main = r.target
		}
	}
	if main == "" {
		main = "xl/workbook.xml"
	}
	if b.parts[main] == nil || strings.HasPrefix(main, "word/") || strings.HasPrefix(main, "ppt/") {
		return notOne()
	}
	rels, err := b.relations(ctx, main)
	if err != nil {
		return err
	}
	known := false
	if err := b.elements(ctx, main, func(e xml.StartElement) {
		switch e.Name.Local {
		case "workbook":
			known = true
		case "workbookPr":
			b.days.from1904 = truth(attribute(e, "date1904"))
		case "sheet":
			b.addSheet(e, rels)
		}
	}); err != nil {
		return err
	}
	if !known {
		return notOne()
	}
	styles := ""
	for _, r := range rels {
		switch r.kind {
		case "styles":
			styles = r.target
		case "sharedStrings":
			b.shared = r.target
		case "vbaProject":
			b.Macros = true
		}
	}
	if b.parts[styles] == nil {
		return nil
	}
	return b.readFormats(ctx, styles)
}

func (b *Book) addSheet(e xml.StartElement, rels map[string]related) {
	state := attribute(e, "state")
	s := Sheet{Name: attribute(e, "name"), Hidden: state == "hidden" || state == "veryHidden"}
	r := rels[attribute(e, "id")]
	switch s.part = r.target; r.kind {
	case "worksheet":
	case "chartsheet":
		s.Kind = Chart
	default:
		s.Kind = Other
	}
	b.Sheets = append(b.Sheets, s)
}

// damaged is a part that cannot be read.
func damaged(part string, err error) error {
	return &frames.Error{Code: "damaged-workbook", Detail: fmt.Sprintf("its part %s is missing or damaged", part),
		Hint: "open it in a spreadsheet program and save it again, or export the sheet as CSV", Err: err}
}

// attribute is the value of an attribute, whatever its name space; "" where there is none.
func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func truth(value string) bool { return value == "1" || value == "true" || value == "on" }
