package workbook

import (
	"archive/zip"
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"breakbook/frames/cells"
)

// most is what the workbooks of these tests may unpack to.
const most = 64 << 20

// partsOf are the parts of a workbook with these sheets, each the XML within its sheetData.
func partsOf(sheets ...string) map[string]string {
	parts := map[string]string{
		"[Content_Types].xml": `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
		"_rels/.rels": `<Relationships><Relationship Id="r1" ` +
			`Type="http://schemas.openxmlformats.org/officeDocument/2006/` +
			`relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/styles.xml": `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="0.0&quot; mm&quot;"/></numFmts>` +
			`<cellStyleXfs><xf numFmtId="14"/></cellStyleXfs>` +
			`<cellXfs><xf numFmtId="0"/><xf numFmtId="9"/><xf numFmtId="14"/>` +
			`<xf numFmtId="164"/></cellXfs></styleSheet>`,
		"xl/sharedStrings.xml": `<sst><si><t>load</t></si><si><r><t>glue </t></r><r><rPr><b/></rPr><t>line</t></r>` +
			`<rPh sb="0" eb="1"><t>said</t></rPh></si><si/></sst>`,
	}
	rels := `<Relationship Id="s" Type="x/styles" Target="styles.xml"/>` +
		`<Relationship Id="t" Type="x/sharedStrings" Target="sharedStrings.xml"/>`
	book := ""
	for i, data := range sheets {
		n := string(rune('1' + i))
		book += `<sheet name="Sheet ` + n + `" sheetId="` + n + `" r:id="w` + n + `"/>`
		rels += `<Relationship Id="w` + n + `" Type="x/worksheet" Target="worksheets/sheet` + n + `.xml"/>`
		parts["xl/worksheets/sheet"+n+".xml"] = `<worksheet><sheetData>` + data + `</sheetData></worksheet>`
	}
	parts["xl/workbook.xml"] = `<workbook xmlns:r="r"><workbookPr/><sheets>` + book + `</sheets></workbook>`
	parts["xl/_rels/workbook.xml.rels"] = `<Relationships>` + rels + `</Relationships>`
	return parts
}

// zipped puts parts into a zip, squeezed; stored leaves them as they are.
func zipped(t testing.TB, parts map[string]string) []byte { return packed(t, parts, zip.Deflate) }
func stored(t testing.TB, parts map[string]string) []byte { return packed(t, parts, zip.Store) }

func packed(t testing.TB, parts map[string]string, method uint16) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
		if err == nil {
			_, err = w.Write([]byte(parts[name]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// records are the rows of a table, written as text.
func records(t *Table) string {
	var out strings.Builder
	var b cells.Batch
	for in, more := t.Between(1, mostRows), true; more; {
		more, _ = in.Cut(&b)
	}
	start := 0
	for i, end := range b.Ends {
		out.WriteString(string(rune('0'+b.Lines[i]%10)) + ": " + strings.Join(b.Cells[start:end], " | ") + "\n")
		start = end
	}
	return out.String()
}
