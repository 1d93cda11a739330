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

// renderPNG draws a sheet as PNG and notes its resolution in the file, so that it
// has its true size where it is put into a page.
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
	return withResolution(b.Bytes()), nil
}

// withResolution puts a pHYs chunk (PNG specification, third edition, 11.3.4.3)
// behind the header chunk, which is always 33 bytes with the signature.
func withResolution(file []byte) []byte {
	const header = 33
	body := []byte("pHYs")
	perMetre := uint32(math.Round(dotsPerInch / 0.0254))
	body = binary.BigEndian.AppendUint32(body, perMetre)
	body = binary.BigEndian.AppendUint32(body, perMetre)
	body = append(body, 1) // the unit is the metre
	out := append([]byte{}, file[:header]...)
	out = binary.BigEndian.AppendUint32(out, uint32(len(body)-4))
	out = append(out, body...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(body))
	return append(out, file[header:]...)
}
