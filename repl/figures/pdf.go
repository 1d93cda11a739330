package figures

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// renderPDF draws a sheet as PDF, with the letters of the typeface that it needs. The times a PDF carries are set to
// one moment, so that the same figure gives the same file.
func renderPDF(s *sheet) ([]byte, error) {
	c, err := newPDF(s.size)
	if err != nil {
		return nil, err
	}
	if err := s.paint(c); err != nil {
		return nil, err
	}
	c.Pop()
	title, _ := s.words()
	c.doc.SetTitle(title, true)
	b := stoppableBuffer{t: &s.typesetter}
	err = c.doc.Output(&b)
	return b.Bytes(), err
}

// pdfCanvas is a page of a PDF to draw on. What draws measures in points from the lower left corner, and the page from
// the upper left one.
type pdfCanvas struct {
	doc    *fpdf.Fpdf
	widths []vg.Length // of lines, by how deep the canvas is pushed
}

// newPDF is an empty page of a size, turned to be measured from below.
func newPDF(size vg.Point) (*pdfCanvas, error) {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt",
		Size: fpdf.SizeType{Wd: size.X.Points(), Ht: size.Y.Points()}})
	once := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(once)
	doc.SetModificationDate(once)
	doc.SetCatalogSort(true)
	var letters bytes.Buffer
	face := faceOf(1)
	if _, err := face.Face.WriteSourceTo(nil, &letters); err != nil {
		return nil, err
	}
	doc.AddUTF8FontFromBytes(face.Name(), "", letters.Bytes())
	doc.AddPage()
	c := &pdfCanvas{doc, make([]vg.Length, 1)}
	c.Push()
	c.Translate(vg.Point{Y: size.Y})
	c.Scale(1, -1)
	vg.Initialize(c)
	return c, doc.Error()
}

func (c *pdfCanvas) SetLineWidth(w vg.Length) {
	c.widths[len(c.widths)-1] = w
	c.doc.SetLineWidth(w.Points())
}

func (c *pdfCanvas) SetLineDash(dashes []vg.Length, offset vg.Length) {
	points := make([]float64, len(dashes))
	for i, d := range dashes {
		points[i] = d.Points()
	}
	c.doc.SetDashPattern(points, offset.Points())
}

func (c *pdfCanvas) SetColor(clr color.Color) {
	p := color.NRGBAModel.Convert(clr).(color.NRGBA)
	r, g, b := int(p.R), int(p.G), int(p.B)
	c.doc.SetFillColor(r, g, b)
	c.doc.SetDrawColor(r, g, b)
	c.doc.SetTextColor(r, g, b)
	c.doc.SetAlpha(float64(p.A)/math.MaxUint8, "Normal")
}

func (c *pdfCanvas) Rotate(by float64)     { c.doc.TransformRotate(-by*180/math.Pi, 0, 0) }
func (c *pdfCanvas) Translate(by vg.Point) { c.doc.TransformTranslate(by.X.Points(), by.Y.Points()) }
func (c *pdfCanvas) Scale(x, y float64)    { c.doc.TransformScale(100*x, 100*y, 0, 0) }

func (c *pdfCanvas) Push() {
	c.widths = append(c.widths, c.widths[len(c.widths)-1])
	c.doc.TransformBegin()
}

func (c *pdfCanvas) Pop() {
	c.widths = c.widths[:len(c.widths)-1]
	c.doc.TransformEnd()
}

func (c *pdfCanvas) Stroke(p vg.Path) {
	if c.widths[len(c.widths)-1] > 0 {
		c.draw(p, "D")
	}
}

func (c *pdfCanvas) Fill(p vg.Path) { c.draw(p, "F") }

// draw strokes or fills a path. An arc is the whole of a circle: the theme has no other.
func (c *pdfCanvas) draw(p vg.Path, how string) {
	for _, part := range p {
		x, y := part.Pos.X.Points(), part.Pos.Y.Points()
		switch part.Type {
		case vg.MoveComp:
			c.doc.MoveTo(x, y)
		case vg.LineComp:
			c.doc.LineTo(x, y)
		case vg.ArcComp:
			c.doc.ArcTo(x, y, part.Radius.Points(), part.Radius.Points(), 0, 0, 360)
		case vg.CloseComp:
			c.doc.ClosePath()
		default:
			panic("figures: a path has a part that a PDF is not drawn with")
		}
	}
	c.doc.DrawPath(how)
}

// FillString writes with the typeface, in which alone text is measured.
func (c *pdfCanvas) FillString(f font.Face, at vg.Point, words string) {
	c.Push()
	c.Translate(at)
	c.Scale(1, -1)
	c.doc.SetFont(f.Name(), "", f.Font.Size.Points())
	c.doc.Text(0, 0, words)
	c.Pop()
}

// DrawImage draws nothing: no figure has an image in it.
func (c *pdfCanvas) DrawImage(vg.Rectangle, image.Image) {}
