package figures

import (
	"encoding/binary"
	"hash/crc32"
	"image/png"
	"math"

	"gonum.org/v1/plot/vg/vgimg"
)

// dotsPerInch is the resolution of PNG files.
const dotsPerInch = 200

// renderPNG draws a sheet as PNG and notes its resolution in the file, so that it has its true size where it
// is put into a page, with its title and what it shows in words.
func renderPNG(s *sheet) ([]byte, error) {
	c := vgimg.NewWith(vgimg.UseWH(s.size.X, s.size.Y), vgimg.UseDPI(dotsPerInch))
	if err := s.paint(c); err != nil {
		return nil, err
	}
	b := stoppableBuffer{t: &s.typesetter}
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(&b, c.Image()); err != nil {
		return nil, err
	}
	title, about := s.words()
	return withChunks(b.Bytes(), resolution(), wordsChunk("Title", title), wordsChunk("Description", about)), nil
}

// resolution is a pHYs chunk (PNG specification, third edition, 11.3.4.3).
func resolution() []byte {
	body := []byte("pHYs")
	perMetre := uint32(math.Round(dotsPerInch / 0.0254))
	body = binary.BigEndian.AppendUint32(body, perMetre)
	body = binary.BigEndian.AppendUint32(body, perMetre)
	return append(body, 1) // the unit is the metre
}

// wordsChunk is an iTXt chunk under a keyword, in UTF-8 and not compressed (the same, 11.3.3.4); nil without words.
func wordsChunk(keyword, words string) []byte {
	if words == "" {
		return nil
	}
	return append([]byte("iTXt"+keyword), "\x00\x00\x00\x00\x00"+words...)
}

// withChunks puts chunks behind the header chunk, which is always 33 bytes with the signature.
func withChunks(file []byte, bodies ...[]byte) []byte {
	const header = 33
	out := append([]byte{}, file[:header]...)
	for _, body := range bodies {
		if len(body) == 0 {
			continue
		}
		out = binary.BigEndian.AppendUint32(out, uint32(len(body)-4))
		out = append(out, body...)
		out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(body))
	}
	return append(out, file[header:]...)
}
