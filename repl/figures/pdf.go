package figures

import (
	"image/color"
	"maps"
	"regexp"
	"slices"

	"golang.org/x/text/encoding/charmap"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// renderPDF draws a sheet as PDF. The times a PDF carries are set to one moment,
// so that the same figure gives the same file.
func renderPDF(s *sheet) ([]byte, error) {
	c := vgpdf.New(s.size.X, s.size.Y)
	used := map[rune]bool{}
	if err := s.paint(pdfCanvas{c, used}); err != nil {
		return nil, err
	}
	b := stoppableBuffer{t: &s.typesetter}
	if _, err := c.WriteTo(&b); err != nil {
		return nil, err
	}
	s.heed()
	title, _ := s.words()
	return lighter(pdfTime.ReplaceAll(b.Bytes(), []byte("/$1 (D:20000101000000)")), slices.Sorted(maps.Keys(used)),
		title)
}

var pdfTime = regexp.MustCompile(`/(CreationDate|ModDate) \(D:\d{14}\)`)

// pdfCanvas mends what vgpdf does to text and colours. vgpdf hands text on as UTF-8 although its fonts are in code page
// 1252, prepares the font anew for every size, and darkens see-through colours.
type pdfCanvas struct {
	*vgpdf.Canvas
	used map[rune]bool // the letters written with the typeface
}

// SetColor hands on the plain colour and how see-through it is: vgpdf takes the
// premultiplied parts of a Go colour for plain ones.
func (c pdfCanvas) SetColor(clr color.Color) {
	c.Canvas.SetColor(plain{color.NRGBAModel.Convert(clr).(color.NRGBA)})
}

// plain is a colour that gives its parts without premultiplying them.
type plain struct{ color.NRGBA }

func (p plain) RGBA() (r, g, b, a uint32) {
	return uint32(p.R) * 0x101, uint32(p.G) * 0x101, uint32(p.B) * 0x101, uint32(p.A) * 0x101
}

// FillString draws text in code page 1252, at one size that is scaled.
func (c pdfCanvas) FillString(f font.Face, at vg.Point, words string) {
	coded, err := charmap.Windows1252.NewEncoder().String(words)
	if err != nil {
		c.Fill(outline(f, at, words))
		return
	}
	for _, r := range words {
		c.used[r] = true
	}
	const base = 10
	by := float64(f.Font.Size / base)
	c.Push()
	c.Translate(at)
	c.Scale(by, by)
	c.Canvas.FillString(faceOf(base), vg.Point{}, coded)
	c.Pop()
}
