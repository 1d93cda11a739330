package figures

import (
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// outline is text as the outlines of its letters, its baseline starting at a place.
// Letters are set as font.Face.Width measures them, with kerning.
func outline(f font.Face, at vg.Point, words string) vg.Path {
	var buf sfnt.Buffer
	var p vg.Path
	em := fixed.Int26_6(f.Face.UnitsPerEm())
	scale := f.Font.Size / vg.Length(em)
	x := at.X
	place := func(q fixed.Point26_6) vg.Point {
		return vg.Point{X: x + vg.Length(q.X)*scale, Y: at.Y - vg.Length(q.Y)*scale}
	}
	var before sfnt.GlyphIndex
	for i, r := range words {
		g, err := f.Face.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		if kern, err := f.Face.Kern(&buf, before, g, em, 0); err == nil && i > 0 {
			x += vg.Length(kern) * scale
		}
		before = g
		segments, err := f.Face.LoadGlyph(&buf, g, em, nil)
		if err != nil {
			continue
		}
		for j, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if j > 0 {
					p.Close()
				}
				p.Move(place(s.Args[0]))
			case sfnt.SegmentOpLineTo:
				p.Line(place(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				p.QuadTo(place(s.Args[0]), place(s.Args[1]))
			case sfnt.SegmentOpCubeTo:
				p.CubeTo(place(s.Args[0]), place(s.Args[1]), place(s.Args[2]))
			}
		}
		if len(segments) > 0 {
			p.Close()
		}
		if adv, err := f.Face.GlyphAdvance(&buf, g, em, 0); err == nil {
			x += vg.Length(adv) * scale
		}
	}
	return p
}
