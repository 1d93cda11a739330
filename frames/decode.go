package frames

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/ianaindex"
	"golang.org/x/text/encoding/unicode"
)

// decode turns a file's bytes into UTF-8 without a mark and with line feeds: from
// the encoding named, else from what the bytes look like. Bytes that are no UTF-8
// are read as Windows-1252 with a remark at the first odd line.
func decode(data []byte, name string) (text []byte, encoding string, remarks []Remark, err error) {
	if name != "" {
		text, encoding, err = decodeAs(data, name)
	} else {
		text, encoding, remarks, err = decodeLike(data)
	}
	if err != nil {
		return nil, "", nil, err
	}
	if looksBinary(text) {
		return nil, "", nil, &Error{Code: "binary", Detail: "this is not a text file",
			Hint: "export the sheet as CSV and open that"}
	}
	text = bytes.TrimPrefix(text, []byte(byteOrderMark))
	if bytes.IndexByte(text, '\n') < 0 && bytes.IndexByte(text, '\r') >= 0 {
		text = bytes.ReplaceAll(text, []byte{'\r'}, []byte{'\n'})
	}
	return text, encoding, remarks, nil
}

const byteOrderMark = "\ufeff"

// decodeLike goes by what the bytes look like.
func decodeLike(data []byte) (text []byte, encoding string, remarks []Remark, err error) {
	order, marked, wide := wideOrder(data)
	switch {
	case bytes.HasPrefix(data, []byte(byteOrderMark)):
		text, encoding = data[len(byteOrderMark):], "UTF-8 with byte-order mark"
	case wide:
		text, err = decodeWide(data, order)
		if encoding = "UTF-16"; !marked {
			encoding = "UTF-16 without byte-order mark"
		}
		return text, encoding, nil, err
	default:
		text, encoding = data, "UTF-8"
	}
	if utf8.Valid(text) || looksBinary(text) {
		return text, encoding, nil, nil
	}
	line, odd := oddBytes(text)
	text, err = charmap.Windows1252.NewDecoder().Bytes(text)
	if err != nil {
		return nil, "", nil, &Error{Code: "unreadable", Detail: "its letters are in no encoding known here", Err: err}
	}
	return text, "Windows-1252", []Remark{{Code: "decoded-windows-1252", Line: line, Count: odd}}, nil
}

// wideOrder tells UTF-16 by its mark, or else by a zero byte in every other place, as
// digits and Latin letters have it.
func wideOrder(data []byte) (order unicode.Endianness, marked, wide bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		return unicode.LittleEndian, true, true
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		return unicode.BigEndian, true, true
	}
	head := data[:min(len(data)&^1, 1<<12)]
	var zeros [2]int
	for i, c := range head {
		if c == 0 {
			zeros[i%2]++
		}
	}
	pairs := len(head) / 2
	switch {
	case len(data)%2 != 0 || pairs == 0:
	case zeros[1]*2 >= pairs && zeros[0]*20 <= pairs:
		return unicode.LittleEndian, false, true
	case zeros[0]*2 >= pairs && zeros[1]*20 <= pairs:
		return unicode.BigEndian, false, true
	}
	return order, false, false
}

func decodeWide(data []byte, order unicode.Endianness) ([]byte, error) {
	text, err := unicode.UTF16(order, unicode.UseBOM).NewDecoder().Bytes(data)
	if err != nil {
		return nil, &Error{Code: "unreadable", Detail: "it starts like UTF-16 but is not", Err: err}
	}
	return text, nil
}

// commonEncodings are the names suggested where one is not known.
var commonEncodings = []string{"UTF-8", "UTF-16", "UTF-16LE", "UTF-16BE", "windows-1252", "windows-1250", "windows-1251", "ISO-8859-1",
	"ISO-8859-2", "ISO-8859-15", "macintosh", "IBM850", "IBM437"}

// decodeAs goes by the name of an encoding, one of those registered with IANA.
func decodeAs(data []byte, name string) (text []byte, encoding string, err error) {
	switch strings.ToLower(name) {
	case "utf-8", "utf8":
		if !utf8.Valid(data) {
			line, _ := oddBytes(data)
			return nil, "", &Error{Code: "wrong-encoding", Line: line, Word: name, Detail: "a byte here is no UTF-8",
				Hint: "open it with encoding windows-1252"}
		}
		return data, "UTF-8", nil
	case "utf-16", "utf16":
		order, _, wide := wideOrder(data)
		if !wide {
			order = unicode.LittleEndian
		}
		text, err = decodeWide(data, order)
		return text, "UTF-16", err
	}
	known, err := ianaindex.IANA.Encoding(name)
	if err != nil || known == nil {
		hint := didYouMean(name, commonEncodings)
		if hint == "" {
			hint = "known are " + strings.Join(commonEncodings, ", ")
		}
		return nil, "", &Error{Code: "bad-override", Word: name, Detail: "there is no encoding " + name + " known here", Hint: hint}
	}
	if text, err = known.NewDecoder().Bytes(data); err != nil {
		return nil, "", &Error{Code: "wrong-encoding", Word: name, Detail: "it cannot be read as " + name, Hint: "leave the encoding to be detected", Err: err}
	}
	if encoding, err = ianaindex.IANA.Name(known); err != nil {
		encoding = name
	}
	return text, encoding, nil
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
