package frames

import (
	"bytes"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// decode turns a file's bytes into UTF-8 without a mark and with line feeds. Bytes
// that are no UTF-8 are read as Windows-1252 with a remark at the first odd line.
func decode(data []byte) (text []byte, encoding string, remarks []Remark, err error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		text, encoding = data[3:], "UTF-8 with byte-order mark"
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		encoding = "UTF-16"
		text, err = unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		if err != nil {
			return nil, "", nil, &Error{Code: "unreadable", Detail: "it starts like UTF-16 but is not", Err: err}
		}
	default:
		text, encoding = data, "UTF-8"
	}
	if looksBinary(text) {
		return nil, "", nil, &Error{Code: "binary", Detail: "this is not a text file",
			Hint: "export the sheet as CSV and open that"}
	}
	if !utf8.Valid(text) {
		line, odd := oddBytes(text)
		text, err = charmap.Windows1252.NewDecoder().Bytes(text)
		if err != nil {
			return nil, "", nil, &Error{Code: "unreadable", Detail: "its letters are in no encoding known here", Err: err}
		}
		encoding = "Windows-1252"
		remarks = append(remarks, Remark{Code: "decoded-windows-1252", Line: line, Count: odd})
	}
	if bytes.IndexByte(text, '\n') < 0 && bytes.IndexByte(text, '\r') >= 0 {
		text = bytes.ReplaceAll(text, []byte{'\r'}, []byte{'\n'})
	}
	return text, encoding, remarks, nil
}

// looksBinary: a NUL anywhere, or control characters for more than one in fifty of
// the first bytes.
func looksBinary(text []byte) bool {
	if bytes.IndexByte(text, 0) >= 0 {
		return true
	}
	control := 0
	head := text[:min(len(text), 1<<16)]
	for _, c := range head {
		if c < ' ' && c != '\n' && c != '\r' && c != '\t' && c != '\f' && c != '\v' || c == 0x7f {
			control++
		}
	}
	return control*50 > len(head)
}

// oddBytes finds the first line with a byte that is no UTF-8 and counts such bytes.
func oddBytes(text []byte) (line, odd int) {
	at := 1
	for len(text) > 0 {
		r, size := utf8.DecodeRune(text)
		switch {
		case r == utf8.RuneError && size == 1:
			if odd++; odd == 1 {
				line = at
			}
		case r == '\n':
			at++
		}
		text = text[size:]
	}
	return line, odd
}
