package workbook

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"breakbook/frames"
)

// opened is the first sheet of a workbook.
func opened(data []byte) (*Table, error) {
	b, err := Open(context.Background(), data, most)
	if err != nil {
		return nil, err
	}
	if len(b.Sheets) == 0 {
		return nil, errors.New("no sheet")
	}
	return b.Read(context.Background(), b.Sheets[0])
}

func TestCells(t *testing.T) {
	for name, c := range map[string]struct{ sheet, want string }{
		"every type": {`<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c><c r="C1" ` +
			`t="inlineStr"><is><t>in</t><r><t>line</t></r></is></c>` +
			`<c r="D1" t="str"><f>A1</f><v>made</v></c><c r="E1" t="b"><v>1</v></c><c r="F1" t="b"><v>0</v></c><c ` +
			`r="G1" t="d"><v>2026-03-02T00:00:00</v></c>` +
			`<c r="H1" t="n"><v>1.5</v></c><c r="I1"><f>H1*2</f><v>3</v></c></row>`,
			"1: load | glue line | inline | made | TRUE | FALSE | 2026-03-02 | 1.5 | 3\n"},
		"formats": {`<row><c s="1"><v>0.125</v></c><c s="2"><v>46083</v></c><c s="3"><v>12.25</v></c></row>`,
			"1: 12.5% | 2026-03-02 | 12.25 mm\n"},
		"no places": {`<row><c><v>1</v></c><c><v>2</v></c></row><row><c><v>3</v></c></row>`,
			"1: 1 | 2\n2: 3\n"},
		"gaps": {`<row r="2"><c r="C2"><v>1</v></c><c><v>2</v></c></row><row r="5"><c ` +
			`r="A5"><v>3</v></c></row>`, "2:  |  | 1 | 2\n5: 3\n"},
		"nothing": {`<row r="1"/><row r="2"><c r="A2" s="1"/><c r="B2" t="s"/><c r="C2" ` +
			`t="inlineStr"><is><t>  </t></is></c></row>`, ""},
		"an empty shared string": {`<row><c t="s"><v>2</v></c><c><v>1</v></c></row>`, "1:  | 1\n"},
		"cells out of order": {`<row><c r="C1"><v>3</v></c><c r="A1"><v>1</v></c><c r="C1"><v>4</v></c></row>`,
			"1: 1 |  | 4\n"},
		"rows of another thing": {`<row><c><v>1</v></c></row></sheetData>` +
			`<controls><from><row>5</row><c/></from></controls><sheetData>`, "1: 1\n"},
		"two cells in one place": {`<row><c r="A1"><v>3</v></c><c r="A1"><v>1</v></c><c r="B1"><v>4</v></c></row>`,
			"1: 1 | 4\n"},
		"two rows in one place": {`<row r="2"><c><v>3</v></c></row><row r="2"><c><v>1</v></c></row>`, "2: 1\n"},
		"rows out of order": {`<row r="3"><c><v>3</v></c></row><row r="1"><c><v>1</v></c></row><row ` +
			`r="3"><c><v>4</v></c></row>`, "1: 1\n3: 4\n"},
		"entities":      {`<row><c t="str"><v>a &lt; b &amp; c&#10;d</v></c></row>`, "1: a < b & c\nd\n"},
		"cut in pieces": {`<row><c t="str"><v>a<!-- x -->b<![CDATA[c]]>d</v></c></row>`, "1: abcd\n"},
	} {
		got, err := opened(zipped(t, partsOf(c.sheet)))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if records(got) != c.want {
			t.Errorf("%s:\n%q, want\n%q", name, records(got), c.want)
		}
	}
}

func TestWhatCellsDoNotShow(t *testing.T) {
	parts := partsOf("")
	parts["xl/worksheets/sheet1.xml"] = `<worksheet><cols><col min="2" max="3" hidden="1"/><col min="5" ` +
		`max="5"/></cols><sheetData>` +
		`<row r="1"><c r="A1" t="e"><v>#N/A</v></c><c r="B1"><f>1/0</f></c><c r="C1"><v>1</v></c><c ` +
		`r="D1"><f>x</f><v>2</v></c></row>` +
		`<row r="2" hidden="1"><c r="A2"><v>1</v></c></row><row r="3" hidden="1"/></sheetData>` +
		`<mergeCells><mergeCell ref="A2:B3"/><mergeCell ref="junk"/></mergeCells></worksheet>`
	got, err := opened(zipped(t, parts))
	if err != nil {
		t.Fatal(err)
	}
	if want := "1:  |  | 1 | 2\n2: 1\n"; records(got) != want {
		t.Errorf("%q, want %q", records(got), want)
	}
	for what, pair := range map[string][2]string{
		"odd":     {fmt.Sprint(got.Odd), "[{1 0 #N/A} {1 1 }]"},
		"hidden":  {fmt.Sprint(got.Hidden), "{[2] [[1 2]]}"},
		"merged":  {fmt.Sprint(got.Merged), "[{2 3 0 1}]"},
		"extents": {fmt.Sprint(got.Rows(), got.Width, got.LastRow()), "2 4 2"},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s: %s, want %s", what, pair[0], pair[1])
		}
	}
}

// A workbook of another writer: parts named from the root and in capitals, name spaces with a
// prefix, days counted from 1904, hidden sheets and a chart, no styles.
func TestOtherWriters(t *testing.T) {
	parts := map[string]string{
		"[Content_Types].xml": "<Types/>",
		"_rels/.rels": `<Relationships><Relationship Id="a" ` +
			`Type="http://purl.oclc.org/ooxml/officeDocument/relationships/officeDocument" ` +
			`Target="/XL/Book.xml"/></Relationships>`,
		"XL/book.xml": `<?xml version="1.0" encoding="UTF-8" standalone="yes"?><x:workbook xmlns:x="m" ` +
			`xmlns:r="r"><x:workbookPr date1904="1"/><x:sheets>` +
			`<x:sheet name="Tests &amp; more" r:id="b"/><x:sheet name="Old" state="veryHidden" r:id="c"/><x:sheet ` +
			`name="Picture" r:id="d"/></x:sheets></x:workbook>`,
		`XL\_rels\book.xml.rels`: `<Relationships><Relationship Id="b" Type="q/worksheet" ` +
			`Target="/xl/One.xml"/><Relationship Id="c" Type="q/worksheet" Target="two.xml"/>` +
			`<Relationship Id="d" Type="q/chartsheet" Target="three.xml"/><Relationship Id="v" Type="q/vbaProject" ` +
			`Target="vba.bin"/></Relationships>`,
		"XL/ONE.xml": `<x:worksheet ` +
			`xmlns:x="m"><x:sheetData><x:row><x:c><x:v>7</x:v></x:c></x:row></x:sheetData></x:worksheet>`,
	}
	b, err := Open(t.Context(), zipped(t, parts), most)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := fmt.Sprint(b.Sheets),
		"[{Tests & more false 0 xl/one.xml} {Old true 0 xl/two.xml} {Picture false 1 xl/three.xml}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if !b.Macros || !b.days.from1904 {
		t.Errorf("macros %v, from 1904 %v", b.Macros, b.days.from1904)
	}
	one, err := b.Read(t.Context(), b.Sheets[0])
	if err != nil || records(one) != "1: 7\n" {
		t.Errorf("%v, %v", one, err)
	}
	for i, code := range []string{1: "damaged-workbook", 2: "no-cells"} {
		if i > 0 {
			_, err := b.Read(t.Context(), b.Sheets[i])
			isCode(t, b.Sheets[i].Name, err, code)
		}
	}
}

func isCode(t *testing.T, name string, err error, code string) {
	t.Helper()
	var e *frames.Error
	if !errors.As(err, &e) || e.Code != code || e.Detail == "" {
		t.Errorf("%s: %v, want an error %s", name, err, code)
	}
}

// Every one of these files is refused with a word on what it is, and none takes long: most of
// them some milliseconds, those that unpack to 16 MiB a second or so.
func TestRefused(t *testing.T) {
	row := `<row r="1"><c r="A1"><v>1</v></c></row>`
	with := func(name, part string) []byte {
		parts := partsOf(row)
		if parts[name] = part; part == "" {
			delete(parts, name)
		}
		return zipped(t, parts)
	}
	sheet := func(data string) []byte { return zipped(t, partsOf(data)) }
	whole := sheet(row)
	wide := func(s string) string { return strings.Join(strings.Split(s, ""), "\x00") + "\x00" }
	locked := bytes.Clone(whole)
	for at := 0; ; { // the flag of an encrypted part, in every header of the directory
		next := bytes.Index(locked[at:], []byte("PK\x01\x02"))
		if next < 0 {
			break
		}
		at += next + 4
		locked[at+4] |= 1
	}
	for name, c := range map[string]struct {
		data []byte
		code string
	}{
		"cut off":         {whole[:len(whole)/2], "damaged-workbook"},
		"its first bytes": {whole[:10], "damaged-workbook"},
		"an empty zip":    {zipped(t, nil), "binary"},
		"a zip of a text": {zipped(t, map[string]string{"gates.csv": "a,b\n1,2\n"}), "binary"},
		"a text document": {zipped(t, map[string]string{"[Content_Types].xml": "<Types/>",
			"word/document.xml": "<w/>"}), "binary"},
		"an .ods": {zipped(t, map[string]string{"mimetype": "application/vnd.oasis.opendocument.spreadsheet",
			"content.xml": "<c/>"}), "other-workbook"},
		"an .xlsb": {zipped(t, map[string]string{"[Content_Types].xml": "<Types/>", "xl/workbook.bin": "x"}),
			"other-workbook"},
		"of Numbers":          {zipped(t, map[string]string{"Index/Document.iwa": "x"}), "other-workbook"},
		"an .xls":             {append(bytes.Clone(compoundMark), wide("Workbook")...), "other-workbook"},
		"with a password":     {append(bytes.Clone(compoundMark), wide("EncryptedPackage")...), "locked-workbook"},
		"an encrypted zip":    {locked, "locked-workbook"},
		"no workbook part":    {with("xl/workbook.xml", ""), "binary"},
		"no relations":        {with("xl/_rels/workbook.xml.rels", ""), "no-cells"},
		"no sheet part":       {with("xl/worksheets/sheet1.xml", ""), "damaged-workbook"},
		"another part":        {with("xl/worksheets/sheet1.xml", "<html/>"), "damaged-workbook"},
		"an empty part":       {with("xl/worksheets/sheet1.xml", " "), "damaged-workbook"},
		"a part cut off":      {with("xl/worksheets/sheet1.xml", "<worksheet><sheetData>"+row), "damaged-workbook"},
		"an end too many":     {sheet(row + "</row>"), "damaged-workbook"},
		"no XML":              {with("xl/worksheets/sheet1.xml", "<worksheet><sheetData><row <c"), "damaged-workbook"},
		"styles cut off":      {with("xl/styles.xml", "<styleSheet><cellXfs>"), "damaged-workbook"},
		"strings cut off":     {with("xl/sharedStrings.xml", "<sst><si><t>"), "damaged-workbook"},
		"a string not there":  {sheet(`<row><c t="s"><v>99</v></c></row>`), "damaged-workbook"},
		"a negative string":   {sheet(`<row><c t="s"><v>-1</v></c></row>`), "damaged-workbook"},
		"a row beyond":        {sheet(`<row r="1048577"><c><v>1</v></c></row>`), "damaged-workbook"},
		"row zero":            {sheet(`<row r="0"><c><v>1</v></c></row>`), "damaged-workbook"},
		"a column beyond":     {sheet(`<row><c r="XFE1"><v>1</v></c></row>`), "damaged-workbook"},
		"a column far beyond": {sheet(`<row><c r="ZZZZZZZZZZZZZZZ1"><v>1</v></c></row>`), "damaged-workbook"},
		"a place without one": {sheet(`<row><c r="17"><v>1</v></c></row>`), "damaged-workbook"},
		"a row in a row":      {sheet("<row>" + row + "</row>"), "damaged-workbook"},
		"a cell in no row":    {sheet("<c><v>1</v></c>"), "damaged-workbook"},
		"deep elements":       {sheet(strings.Repeat("<a>", 1<<20)), "damaged-workbook"},
		"an entity of its own": {with("xl/worksheets/sheet1.xml",
			`<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]>`+
				`<worksheet><sheetData><row><c t="str"><v>&b;</v></c></row></sheetData></worksheet>`),
			"damaged-workbook"},
		"another encoding": {with("xl/worksheets/sheet1.xml", `<?xml version="1.0" encoding="EBCDIC"?><worksheet/>`),
			"damaged-workbook"},
		"a part of zeros": {sheet(strings.Repeat(" ", 32<<20)), "grows-too-far"},
		"a long text": {sheet(`<row r="7"><c r="AB7" t="str"><v>` + strings.Repeat("knot at the pin ", 70_000) +
			`</v></c></row>`), "cell-too-long"},
		"strings of zeros": {with("xl/sharedStrings.xml", "<sst>"+strings.Repeat("<si><t>a</t></si>", 2<<20)+"</sst>"),
			"grows-too-far"},
	} {
		before := time.Now()
		_, err := opened(c.data)
		isCode(t, name, err, c.code)
		if took := time.Since(before); took > 30*time.Second {
			t.Errorf("%s took %v", name, took)
		}
	}
}

// A link that leads out of the zip, or to a file of the machine, leads to no part.
func TestLinksStayInTheZip(t *testing.T) {
	for _, target := range []string{"../../../../etc/passwd", "/etc/passwd", "file:///etc/passwd", `..\..\etc\passwd`,
		"http://example.org/a.xml"} {
		parts := partsOf(`<row/>`)
		parts["xl/_rels/workbook.xml.rels"] = `<Relationships><Relationship Id="w1" Type="x/worksheet" Target="` +
			target +
			`"/></Relationships>`
		_, err := opened(zipped(t, parts))
		isCode(t, target, err, "damaged-workbook")
		parts["xl/_rels/workbook.xml.rels"] = `<Relationships><Relationship Id="w1" Type="x/worksheet" ` +
			`TargetMode="External" Target="worksheets/sheet1.xml"/></Relationships>`
		_, err = opened(zipped(t, parts))
		isCode(t, "external", err, "no-cells")
	}
	// a name that leads out of the zip is a name like any other
	parts := partsOf(`<row><c><v>1</v></c></row>`)
	parts["../../outside.xml"] = "<x/>"
	if _, err := opened(zipped(t, parts)); err != nil {
		t.Error(err)
	}
}

// What a sheet says of its size is believed of no sheet, and rows that are only formatted take
// no room.
func TestHugeSheetsOfNothing(t *testing.T) {
	var rows strings.Builder
	for i := 1; i <= 1<<20; i++ {
		fmt.Fprintf(&rows, `<row r="%d" s="1" customFormat="1"/>`, i)
	}
	parts := partsOf("")
	parts["xl/worksheets/sheet1.xml"] = `<worksheet><dimension ref="A1:XFD1048576"/><cols><col min="1" max="16384" ` +
		`hidden="0"/></cols><sheetData>` +
		rows.String() + `</sheetData></worksheet>`
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	got, err := opened(zipped(t, parts))
	if err != nil || got.Rows() != 0 || got.Width != 0 {
		t.Fatalf("%+v, %v", got, err)
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	if grown := int64(after.HeapAlloc) - int64(before.HeapAlloc); grown > 16<<20 {
		t.Errorf("%d bytes are kept", grown)
	}
	runtime.KeepAlive(got)

	// cells at the far edge: each row is as wide as the sheet, and only what is in it is kept
	rows.Reset()
	for i := 1; i <= 20_000; i++ {
		fmt.Fprintf(&rows, `<row r="%d"><c r="XFD%d"><v>%d</v></c></row>`, i, i, i)
	}
	if got, err = opened(zipped(t, partsOf(rows.String()))); err != nil || got.Rows() != 20_000 || got.Width != 16384 {
		t.Fatalf("%v", err)
	}
	if len(got.cells) != 20_000 {
		t.Errorf("%d cells are kept", len(got.cells))
	}
}

func TestTheBoundIsKept(t *testing.T) {
	var rows strings.Builder
	for i := range 50_000 {
		fmt.Fprintf(&rows, `<row><c><v>%d.5</v></c></row>`, i*7919%99991)
	}
	data := zipped(t, partsOf(rows.String()))
	b, err := Open(t.Context(), data, 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	_, err = b.Read(t.Context(), b.Sheets[0])
	isCode(t, "a mebibyte", err, "too-large")
}

func TestStopsWithItsContext(t *testing.T) {
	data := zipped(t, partsOf(`<row><c><v>1</v></c></row>`))
	ctx, stop := context.WithCancel(t.Context())
	b, err := Open(ctx, data, most)
	if err != nil {
		t.Fatal(err)
	}
	stop()
	if _, err := b.Read(ctx, b.Sheets[0]); !errors.Is(err, context.Canceled) {
		t.Errorf("read in spite of the end of its context: %v", err)
	}
	if _, err := Open(ctx, data, most); !errors.Is(err, context.Canceled) {
		t.Errorf("opened in spite of the end of its context: %v", err)
	}
}

// A zip in which a part says that it is short and is not.
func TestPartsThatLie(t *testing.T) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, part := range partsOf(`<row><c><v>1</v></c></row>`) {
		h := &zip.FileHeader{Name: name, Method: zip.Store, UncompressedSize64: uint64(len(part)) / 2,
			CompressedSize64: uint64(len(part))}
		w, err := z.CreateRaw(h)
		if err == nil {
			_, err = w.Write([]byte(part))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	_, err := opened(out.Bytes())
	isCode(t, "a part that is longer than it says", err, "damaged-workbook")
}

// Whatever is done to a workbook, it is read or refused, soon.
func FuzzWorkbook(f *testing.F) {
	f.Add(stored(f, partsOf(`<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row r="2"><c `+
		`r="A2"><v>1.5</v></c><c r="B2" s="2"><v>46083</v></c></row>`)))
	f.Add(append(bytes.Clone(compoundMark), 0, 1, 2))
	f.Fuzz(func(t *testing.T, data []byte) {
		if !Is(data) {
			return
		}
		table, err := opened(data)
		check(t, table, err)
	})
}

// FuzzSheet changes what stands in the part of a sheet, which changed bytes of a zip seldom do.
func FuzzSheet(f *testing.F) {
	f.Add(`<row r="1" hidden="1"><c r="A1" t="s"><v>0</v></c><c r="B1" ` +
		`t="inlineStr"><is><r><t>x</t></r></is></c></row>`)
	f.Fuzz(func(t *testing.T, sheet string) {
		table, err := opened(stored(t, partsOf(sheet)))
		check(t, table, err)
	})
}

// check holds a table to what its readers rely on.
func check(t *testing.T, table *Table, err error) {
	if err != nil {
		return
	}
	if len(table.rows) != len(table.ends) || len(table.cells) != len(table.columns) ||
		len(table.cells) != len(table.kinds) {
		t.Fatalf("%+v", table)
	}
	for i, row := range table.rows {
		if row < 1 || row > mostRows || i > 0 && row <= table.rows[i-1] {
			t.Fatalf("rows %v", table.rows)
		}
		start, end := table.extent(i)
		if start >= end {
			t.Fatalf("row %d has nothing in it", row)
		}
		for k := start; k < end; k++ {
			if int(table.columns[k]) >= table.Width || k > start && table.columns[k] <= table.columns[k-1] ||
				strings.TrimSpace(table.cells[k]) == "" {
				t.Fatalf("row %d: columns %v, cells %q, width %d", row, table.columns[start:end],
					table.cells[start:end], table.Width)
			}
		}
	}
	_ = records(table)
}
