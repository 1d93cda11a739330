// Package decoding makes a text of the bytes of a file. In come the bytes, packed or not, and the name of an encoding
// or none; out comes the text in UTF-8 with what was odd about it, or an *frames.Error that says why there is none.
package decoding

import (
	"bytes"
	"context"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/ianaindex"
	"golang.org/x/text/encoding/unicode"

	"breakbook/frames"
	"breakbook/frames/meant"
	"breakbook/models/parallel"
)

// Text is a file's text in UTF-8, without a mark and with line feeds.
type Text struct {
	Bytes    []byte
	Encoding string // as a person calls it
	Remarks  []frames.Remark
	Odd      Odd // bytes that are in no letter of the Encoding: they stay in the text, or 0xff stands for them
}

// Odd counts something odd about a text and keeps the first line of it.
type Odd struct{ Line, Count int }

// At counts one more, on a line.
func (o *Odd) At(line int) {
	if o.Count++; o.Count == 1 {
		o.Line = line
	}
}

// Decode reads a file's bytes in the encoding named, else in what they look like.
// Bytes that are no UTF-8, where few or none of the others need it, are read as
// Windows-1252 with a remark at the first odd line.
func Decode(ctx context.Context, data []byte, name string) (*Text, error) {
	var d *Text
	var err error
	if name != "" {
		d, err = decodeAs(ctx, data, name)
	} else {
		d, err = decodeLike(ctx, data)
	}
	if err != nil {
		return nil, err
	}
	if looksBinary(d.Bytes) {
		return nil, &frames.Error{Code: "binary", Detail: "this is not a text file",
			Hint: "export the sheet as CSV and open that"}
	}
	d.Bytes = bytes.TrimPrefix(d.Bytes, []byte(ByteOrderMark))
	if bytes.IndexByte(d.Bytes, '\n') < 0 && bytes.IndexByte(d.Bytes, '\r') >= 0 {
		d.Bytes = bytes.ReplaceAll(d.Bytes, []byte{'\r'}, []byte{'\n'})
	}
	return d, nil
}

// ByteOrderMark stands before some texts in UTF-8, and is no part of them.
const ByteOrderMark = "\ufeff"

// decodeLike goes by what the bytes look like.
func decodeLike(ctx context.Context, data []byte) (*Text, error) {
	order, marked, wide := wideOrder(data)
	if wide {
		d := decodeWide(ctx, data, order)
		if !marked {
			d.Encoding = "UTF-16 without byte-order mark"
		}
		return d, nil
	}
	d := &Text{Bytes: data, Encoding: "UTF-8"}
	if text, ok := bytes.CutPrefix(data, []byte(ByteOrderMark)); ok {
		d.Bytes, d.Encoding, marked = text, "UTF-8 with byte-order mark", true
	}
	if validUTF8(ctx, d.Bytes) || looksBinary(d.Bytes) {
		return d, nil
	}
	var letters int
	if d.Odd, letters = oddBytes(ctx, d.Bytes); marked || letters >= d.Odd.Count {
		return d, nil
	}
	var err error
	if d.Bytes, err = through(ctx, charmap.Windows1252, d.Bytes); err != nil {
		return nil, err
	}
	d.Encoding, d.Remarks = "Windows-1252", []frames.Remark{{Code: "decoded-windows-1252", Line: d.Odd.Line,
		Count: d.Odd.Count}}
	d.Odd = Odd{}
	return d, nil
}

// commonEncodings are the names suggested where one is not known.
var commonEncodings = []string{"UTF-8", "UTF-16", "UTF-16LE", "UTF-16BE", "windows-1252", "windows-1250",
	"windows-1251", "ISO-8859-1", "ISO-8859-2", "ISO-8859-15", "macintosh", "IBM850", "IBM437"}

// decodeAs goes by the name of an encoding, one of those registered with IANA.
func decodeAs(ctx context.Context, data []byte, name string) (*Text, error) {
	switch strings.ToLower(name) {
	case "utf-8", "utf8":
		d := &Text{Bytes: data, Encoding: "UTF-8"}
		if validUTF8(ctx, data) {
			return d, nil
		}
		var letters int
		if d.Odd, letters = oddBytes(ctx, data); letters < d.Odd.Count {
			return nil, &frames.Error{Code: "wrong-encoding", Line: d.Odd.Line, Word: name,
				Detail: "a byte here is no UTF-8", Hint: "open it with encoding windows-1252"}
		}
		return d, nil
	case "utf-16", "utf16":
		order, _, wide := wideOrder(data)
		if !wide {
			order = unicode.LittleEndian
		}
		return decodeWide(ctx, data, order), nil
	}
	known, err := ianaindex.IANA.Encoding(name)
	if err != nil || known == nil {
		hint := meant.Hint(name, commonEncodings)
		if hint == "" {
			hint = "known are " + strings.Join(commonEncodings, ", ")
		}
		return nil, &frames.Error{Code: "bad-override", Word: name,
			Detail: "there is no encoding " + name + " known here", Hint: hint}
	}
	encoding, err := ianaindex.IANA.Name(known)
	if err != nil {
		encoding = name
	}
	d := &Text{Encoding: encoding}
	switch encoding {
	case "UTF-16LE":
		d = decodeWide(ctx, data, unicode.LittleEndian)
	case "UTF-16BE":
		d = decodeWide(ctx, data, unicode.BigEndian)
	default:
		d.Bytes, err = through(ctx, known, data)
	}
	if err != nil {
		return nil, &frames.Error{Code: "wrong-encoding", Word: name, Detail: "it cannot be read as " + name,
			Hint: "leave the encoding to be detected", Err: err}
	}
	d.Encoding = encoding
	return d, nil
}

// through is the data decoded, a part at a time.
func through(ctx context.Context, from encoding.Encoding, data []byte) ([]byte, error) {
	var out bytes.Buffer
	out.Grow(len(data) + len(data)/8)
	_, err := io.Copy(&out, heeding{ctx, from.NewDecoder().Reader(bytes.NewReader(data))})
	return out.Bytes(), err
}

// heeding looks at its context whenever it reads.
type heeding struct {
	ctx context.Context
	io.Reader
}

func (h heeding) Read(p []byte) (int, error) {
	parallel.Look(h.ctx)
	return h.Reader.Read(p)
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

// heedBytes is how many bytes are gone over between two looks at the context.
const heedBytes = 4 << 20

// validUTF8 tells whether a text is UTF-8 throughout.
func validUTF8(ctx context.Context, text []byte) bool {
	for len(text) > 0 {
		parallel.Look(ctx)
		part := text[:min(len(text), heedBytes)]
		for i := 1; i < utf8.UTFMax && len(part) < len(text) && !utf8.RuneStart(text[len(part)]) && len(part) > 1; i++ {
			part = part[:len(part)-1]
		}
		if !utf8.Valid(part) {
			return false
		}
		text = text[len(part):]
	}
	return true
}

// oddBytes counts the bytes that are no UTF-8, with the first line of one, and the
// letters that are and take more than a byte.
func oddBytes(ctx context.Context, text []byte) (odd Odd, letters int) {
	line := 1
	for i, next := 0, 0; i < len(text); {
		if i >= next {
			parallel.Look(ctx)
			next = i + heedBytes
		}
		r, size := utf8.DecodeRune(text[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			odd.At(line)
		case r == '\n':
			line++
		case size > 1:
			letters++
		}
		i += size
	}
	return odd, letters
}
