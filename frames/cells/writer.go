package cells

import (
	"bytes"
	"strings"
)

// Writer writes a table by RFC 4180, with commas and line feeds.
type Writer struct {
	bytes.Buffer
	Lone    bool // the table has one column: an empty cell must not make an empty line
	Escaped int  // text cells with an apostrophe before them, so that no spreadsheet runs them
}

// Text writes a text cell and tells whether it had to be escaped.
func (w *Writer) Text(column int, s string) (escaped bool) {
	if escaped = s != "" && strings.IndexByte("=+-@\t\r", s[0]) >= 0; escaped {
		s = "'" + s
		w.Escaped++
	}
	w.Plain(column, s)
	return escaped
}

// Plain writes a cell as it is, in quotes where it needs them; column counts from 0.
func (w *Writer) Plain(column int, s string) {
	if column > 0 {
		w.WriteByte(',')
	}
	if strings.ContainsAny(s, ",\"\r\n") || strings.TrimSpace(s) != s || s == "" && w.Lone {
		s = `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	w.WriteString(s)
}

// Line ends a record.
func (w *Writer) Line() { w.WriteByte('\n') }
