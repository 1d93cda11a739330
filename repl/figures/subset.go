package figures

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"

	"breakbook/models/lists"

	"golang.org/x/image/font/sfnt"
)

// errPDF says that a PDF is not of the form that the drawing makes.
var errPDF = errors.New("the PDF has an unexpected form")

var (
	pdfRoot  = regexp.MustCompile(`/Root (\d+) 0 R`)
	pdfInfo  = regexp.MustCompile(`/Info (\d+) 0 R`)
	fontFile = regexp.MustCompile(`/FontFile2 (\d+) 0 R`)
)

// lighter is a PDF with its typeface cut down to the letters that are drawn and with a title. Objects keep
// their numbers, and the table of their places (ISO 32000-1, 7.5.4) is written anew.
func lighter(file []byte, used []rune, title string) ([]byte, error) {
	root, info := pdfRoot.FindSubmatch(file), pdfInfo.FindSubmatch(file)
	font := fontFile.FindSubmatch(file)
	first := pdfHead.FindIndex(file)
	if root == nil || info == nil || first == nil {
		return nil, errPDF
	}
	out := bytes.NewBuffer(slices.Clone(file[:first[0]]))
	places := map[int]int{}
	most := 0
	for at := first[0]; ; {
		m := pdfHead.FindSubmatchIndex(file[at:])
		if m == nil || m[0] != 0 {
			break // the table of places
		}
		n, _ := strconv.Atoi(string(file[at+m[2] : at+m[3]]))
		body, next, err := objectBody(file, at+m[1])
		if err != nil {
			return nil, err
		}
		number := strconv.Itoa(n)
		switch {
		case font != nil && number == string(font[1]):
			if body, err = lighterFont(body, used); err != nil {
				return nil, err
			}
		case number == string(info[1]):
			body = append([]byte("<<\n/Title "+pdfText(title)), body[len("<<"):]...)
		}
		places[n], most = out.Len(), max(most, n)
		fmt.Fprintf(out, "%d 0 obj\n%s\nendobj\n", n, body)
		at = next
	}
	start := out.Len()
	fmt.Fprintf(out, "xref\n0 %d\n0000000000 65535 f \n", most+1)
	for n := 1; n <= most; n++ {
		fmt.Fprintf(out, "%010d 00000 n \n", places[n])
	}
	fmt.Fprintf(out, "trailer\n<<\n/Size %d\n/Root %s 0 R\n/Info %s 0 R\n>>\nstartxref\n%d\n%%%%EOF\n", most+1, root[1],
		info[1], start)
	if len(places) != most {
		return nil, errPDF
	}
	return out.Bytes(), nil
}

var (
	pdfHead   = regexp.MustCompile(`(\d+) 0 obj\n`)
	pdfLength = regexp.MustCompile(`/Length (\d+)`)
	streamOf  = regexp.MustCompile(`>>\s*stream\n`)
)

// objectBody is what stands between the head of an object and its end, and where the next one begins. A stream
// is as long as it says: its bytes may hold any words.
func objectBody(file []byte, from int) (body []byte, next int, err error) {
	end := bytes.Index(file[from:], []byte("endobj\n"))
	if end < 0 {
		return nil, 0, errPDF
	}
	if s := streamOf.FindIndex(file[from:]); s != nil && s[0] < end {
		length := pdfLength.FindSubmatch(file[from : from+s[1]])
		if length == nil {
			return nil, 0, errPDF
		}
		n, _ := strconv.Atoi(string(length[1]))
		if from+s[1]+n > len(file) {
			return nil, 0, errPDF
		}
		end = s[1] + n + bytes.Index(file[from+s[1]+n:], []byte("endobj\n"))
	}
	return bytes.TrimRight(file[from:from+end], "\n"), from + end + len("endobj\n"), nil
}

// pdfText is words as a string of a PDF: UTF-16, byte by byte in hexadecimal (ISO 32000-1, 7.9.2.2).
func pdfText(words string) string {
	out := "<FEFF"
	for _, r := range words {
		if r > 0xFFFF {
			r = '\uFFFD'
		}
		out += fmt.Sprintf("%04X", r)
	}
	return out + ">"
}

// lighterFont is the stream of a typeface with the outlines of the letters used alone.
func lighterFont(body []byte, used []rune) ([]byte, error) {
	head := streamOf.FindIndex(body)
	tail := bytes.LastIndex(body, []byte("endstream"))
	if head == nil || tail < head[1] {
		return nil, errPDF
	}
	r, err := zlib.NewReader(bytes.NewReader(body[head[1]:tail]))
	if err != nil {
		return nil, err
	}
	whole, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	cut, err := onlyLetters(whole, used)
	if err != nil {
		return nil, err
	}
	var packed bytes.Buffer
	w := zlib.NewWriter(&packed)
	if _, err := w.Write(cut); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "<</Length %d\n/Filter /FlateDecode\n/Length1 %d\n>>\nstream\n%s\nendstream", packed.Len(),
		len(cut), packed.Bytes()), nil
}

// keptTables are those of a TrueType typeface that a PDF needs (ISO 32000-1, 9.9), in the order of their names.
var keptTables = []string{"cmap", "cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep"}

// onlyLetters is a TrueType typeface in which only some letters have outlines; the places of all letters stay
// (OpenType specification 1.9: the table directory, head, loca and glyf).
func onlyLetters(font []byte, used []rune) ([]byte, error) {
	tables := tablesOf(font)
	head, loca, glyf, maxp := tables["head"], tables["loca"], tables["glyf"], tables["maxp"]
	if len(head) < 54 || len(maxp) < 6 || binary.BigEndian.Uint16(head[50:]) > 1 {
		return nil, errPDF
	}
	long := binary.BigEndian.Uint16(head[50:]) == 1
	letters := int(binary.BigEndian.Uint16(maxp[4:]))
	place := func(i int) int {
		if long {
			return int(binary.BigEndian.Uint32(loca[4*i:]))
		}
		return 2 * int(binary.BigEndian.Uint16(loca[2*i:]))
	}
	if len(loca) < (letters+1)*2 || long && len(loca) < (letters+1)*4 {
		return nil, errPDF
	}
	keep := make([]bool, letters)
	keep[0] = true
	var take func(i int)
	take = func(i int) {
		if i >= letters || keep[i] && i > 0 {
			return
		}
		keep[i] = true
		from, to := place(i), place(i+1)
		if to > len(glyf) || to-from < 10 || int16(binary.BigEndian.Uint16(glyf[from:])) >= 0 {
			return
		}
		for _, part := range partsOf(glyf[from+10 : to]) {
			take(part)
		}
	}
	for _, r := range used {
		if i, ok := glyphOf(r); ok {
			take(i)
		}
	}
	var outlines, places []byte
	for i := range letters {
		places = binary.BigEndian.AppendUint32(places, uint32(len(outlines)))
		if keep[i] && place(i+1) <= len(glyf) {
			outlines = append(outlines, glyf[place(i):place(i+1)]...)
			outlines = append(outlines, make([]byte, (4-len(outlines)%4)%4)...)
		}
	}
	tables["glyf"], tables["loca"] = outlines, binary.BigEndian.AppendUint32(places, uint32(len(outlines)))
	tables["head"] = slices.Clone(head)
	binary.BigEndian.PutUint16(tables["head"][50:], 1)
	return assembled(tables), nil
}

// glyphOf is the place of a letter in the theme's typeface.
func glyphOf(r rune) (int, bool) {
	var buf sfnt.Buffer
	i, err := faceOf(1).Face.GlyphIndex(&buf, r)
	return int(i), err == nil && i != 0
}

// partsOf are the letters that a composite one is made of (OpenType specification, glyf: component flags).
func partsOf(b []byte) (out []int) {
	const words, scaled, more, twoScales, matrix = 1, 8, 0x20, 0x40, 0x80
	for len(b) >= 4 {
		flags := binary.BigEndian.Uint16(b)
		out = append(out, int(binary.BigEndian.Uint16(b[2:])))
		skip := 6
		if flags&words != 0 {
			skip = 8
		}
		switch {
		case flags&scaled != 0:
			skip += 2
		case flags&twoScales != 0:
			skip += 4
		case flags&matrix != 0:
			skip += 8
		}
		if flags&more == 0 || skip > len(b) {
			break
		}
		b = b[skip:]
	}
	return out
}

// tablesOf are the tables of a typeface by name.
func tablesOf(font []byte) map[string][]byte {
	out := map[string][]byte{}
	if len(font) < 12 {
		return out
	}
	for i := range int(binary.BigEndian.Uint16(font[4:])) {
		at := 12 + 16*i
		if at+16 > len(font) {
			break
		}
		from, size := binary.BigEndian.Uint32(font[at+8:]), binary.BigEndian.Uint32(font[at+12:])
		if uint64(from)+uint64(size) <= uint64(len(font)) {
			out[string(font[at:at+4])] = font[from : from+size]
		}
	}
	return out
}

// assembled is a typeface of the kept tables.
func assembled(tables map[string][]byte) []byte {
	names := lists.Where(keptTables, func(name string) bool { return len(tables[name]) > 0 })
	n := len(names)
	log := 0
	for 1<<(log+1) <= n {
		log++
	}
	out := []byte{0, 1, 0, 0}
	for _, v := range []int{n, 16 << log, log, 16*n - 16<<log} {
		out = binary.BigEndian.AppendUint16(out, uint16(v))
	}
	at := 12 + 16*n
	var data []byte
	for _, name := range names {
		t := tables[name]
		padded := append(slices.Clone(t), make([]byte, (4-len(t)%4)%4)...)
		sum := uint32(0)
		for i := 0; i < len(padded); i += 4 {
			sum += binary.BigEndian.Uint32(padded[i:])
		}
		out = append(out, name...)
		for _, v := range []int{int(sum), at + len(data), len(t)} {
			out = binary.BigEndian.AppendUint32(out, uint32(v))
		}
		data = append(data, padded...)
	}
	return append(out, data...)
}
