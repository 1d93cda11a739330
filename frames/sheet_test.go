package frames

import "testing"

// What lies beside a CSV and is no sheet is not taken for one.
func TestParseSheetRefuses(t *testing.T) {
	for _, text := range []string{"", "{}", `{"breakbook_sheet":2,"columns":[]}`, `{"breakbook_look":1}`,
		`{"breakbook_sheet":1,"columns":[{"name":"","kind":"number"}]}`,
		`{"breakbook_sheet":1,"columns":[{"name":"a","kind":"number","role":"boss"}]}`,
		`{"breakbook_sheet":1,"run":"touch ran"}`} {
		if ParseSheet([]byte(text)) != nil {
			t.Errorf("%q is taken for a sheet", text)
		}
	}
}
