package figures

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// bare is a plotter without a say in the axes: the sheet has settled them.
type bare struct{ plot.Plotter }

// marks is a layer of our own drawing.
type marks func(c draw.Canvas)

// Plot draws the marks; they know their places on the sheet already.
func (m marks) Plot(c draw.Canvas, _ *plot.Plot) { m(c) }

// picture is everything inside the axes as a gonum/plot: grid, bands, rules,
// lines, specimens, means, in that order from below.
func (s *sheet) picture() (*plot.Plot, error) {
	p := plot.New()
	p.BackgroundColor = nil
	p.HideAxes()
	p.X.Padding, p.Y.Padding = 0, 0
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = s.x.lo, s.x.hi, s.y.lo, s.y.hi
	points, intervals := s.place()
	s.nameOdd(points, intervals)
	p.Add(bare{marks(s.drawZones)}, bare{marks(s.drawGrid)},
		bare{marks(func(c draw.Canvas) { s.drawCells(c, s.cells) })})
	if err := addEach(p, only[page.Band](s.figure.Layers), s.band); err != nil {
		return nil, err
	}
	p.Add(bare{marks(s.drawRules)})
	lines := only[page.Line](s.figure.Layers)
	if err := addEach(p, lines, s.casing); err != nil {
		return nil, err
	}
	if err := addEach(p, lines, s.line); err != nil {
		return nil, err
	}
	p.Add(bare{marks(func(c draw.Canvas) { s.drawSpecimens(c, points) })})
	p.Add(bare{marks(func(c draw.Canvas) { s.drawIntervals(c, intervals) })})
	return p, nil
}

// addEach adds layers to a plot, each as it is made a part of one; nil is none.
func addEach[L page.Layer](p *plot.Plot, layers []L, made func(L) (plot.Plotter, error)) error {
	for _, l := range layers {
		m, err := made(l)
		if err != nil {
			return err
		}
		if m != nil {
			p.Add(bare{m})
		}
	}
	return nil
}

// drawGrid draws a faint line at every tick of a number axis, and the two axes.
func (s *sheet) drawGrid(c draw.Canvas) {
	hair := draw.LineStyle{Color: faint, Width: vg.Points(hairWidth * s.scale)}
	axis := draw.LineStyle{Color: quiet, Width: vg.Points(hairWidth * 1.3 * s.scale)}
	f := s.frame()
	across := func(style draw.LineStyle, y vg.Length) {
		c.StrokeLines(style, s.lineOnSheet(vg.Point{X: f.Min.X, Y: y}, vg.Point{X: f.Max.X, Y: y}))
	}
	up := func(style draw.LineStyle, x, from, to vg.Length) {
		c.StrokeLines(style, s.lineOnSheet(vg.Point{X: x, Y: from}, vg.Point{X: x, Y: to}))
	}
	for _, t := range s.y.ticks {
		across(hair, s.atY(t.at))
	}
	for _, t := range s.x.ticks {
		up(hair, s.atX(t.at), f.Min.Y, f.Max.Y)
		up(axis, s.atX(t.at), f.Min.Y, f.Min.Y-s.tickLen)
	}
	for i := range s.figure.X.Levels {
		s.heed()
		if s.lying {
			up(hair, s.atX(float64(i)), f.Min.Y, f.Max.Y)
			continue
		}
		up(axis, s.atX(float64(i)), f.Min.Y, f.Min.Y-s.tickLen)
	}
	for _, g := range s.guides {
		c.StrokeLine2(hair, g[0].X, g[0].Y-s.tickLen, g[1].X, g[1].Y)
	}
	c.StrokeLine2(axis, s.data.Min.X, s.data.Min.Y, s.data.Max.X, s.data.Min.Y)
	c.StrokeLine2(axis, s.data.Min.X, s.data.Min.Y, s.data.Min.X, s.data.Max.Y)
}

// drawZones shades ranges of the numbers under everything else.
func (s *sheet) drawZones(c draw.Canvas) {
	f := s.frame()
	for _, z := range only[page.Zone](s.figure.Layers) {
		low, high := s.atY(max(s.y.of(z.Low), s.y.lo)), s.atY(min(s.y.of(z.High), s.y.hi))
		c.FillPolygon(shaded, s.lineOnSheet(vg.Point{X: f.Min.X, Y: low}, vg.Point{X: f.Max.X, Y: low},
			vg.Point{X: f.Max.X, Y: high}, vg.Point{X: f.Min.X, Y: high}))
	}
}

// drawRules draws straight lines across: broken ones, and unbroken what values are held against.
func (s *sheet) drawRules(c draw.Canvas) {
	f := s.frame()
	for _, r := range only[page.Rule](s.figure.Layers) {
		style := draw.LineStyle{Color: quiet, Width: vg.Points(0.9 * s.scale), Dashes: s.dashes()}
		if r.Bold {
			style = draw.LineStyle{Color: ink, Width: vg.Points(boldWidth * s.scale)}
		}
		y := s.atY(s.y.of(r.Y))
		c.StrokeLines(style, s.lineOnSheet(vg.Point{X: f.Min.X, Y: y}, vg.Point{X: f.Max.X, Y: y}))
	}
}

// points turns values into the scales' own terms, in order of x.
func (s *sheet) points(x, y []float64) plotter.XYs {
	xy := lists.Made(len(x), func(i int) plotter.XY { return plotter.XY{X: s.x.of(x[i]), Y: s.y.of(y[i])} })
	sorted := make(plotter.XYs, len(xy))
	for n, i := range ordered(s.ctx, len(xy), func(a, b int) bool { return xy[a].X < xy[b].X }) {
		sorted[n] = xy[i]
	}
	return sorted
}

// band is the shaded range around a line.
func (s *sheet) band(b page.Band) (plot.Plotter, error) {
	if len(b.X) == 0 {
		return nil, nil
	}
	edge := s.points(b.X, b.Low)
	for _, high := range slices.Backward(s.points(b.X, b.High)) {
		edge = append(edge, high)
	}
	area, err := plotter.NewPolygon(edge)
	if err != nil {
		return nil, err
	}
	area.Color, area.LineStyle.Width = tintOf(b.Look), 0
	return area, nil
}

// casing is a white edge that lifts a line off what is under it.
func (s *sheet) casing(line page.Line) (plot.Plotter, error) {
	if line.Dashed || len(line.X) == 0 {
		return nil, nil
	}
	return s.stroke(s.points(line.X, line.Y), paper, lineWidth+1.2, false)
}

// line is a curve in the shade of its look that a line needs.
func (s *sheet) line(line page.Line) (plot.Plotter, error) {
	if len(line.X) == 0 {
		return nil, nil
	}
	return s.stroke(s.points(line.X, line.Y), lineOf(line.Look), lineWidth, line.Dashed)
}

// stroke is a line through places in the scales' own terms.
func (s *sheet) stroke(xy plotter.XYs, colour color.Color, width float64, dashed bool) (plot.Plotter, error) {
	line, err := plotter.NewLine(xy)
	if err != nil {
		return nil, err
	}
	line.LineStyle = draw.LineStyle{Color: colour, Width: vg.Points(width * s.scale)}
	if dashed {
		line.Dashes = s.dashes()
	}
	return line, nil
}

// dashes is the theme's broken line.
func (s *sheet) dashes() []vg.Length {
	return []vg.Length{vg.Points(4 * s.scale), vg.Points(2.5 * s.scale)}
}

// specimen is one mark to draw; hidden counts the marks of the same look drawn at the very same place before it.
type specimen struct {
	at     vg.Point
	look   int
	hidden int
	faint  bool
	aside  bool   // a hollow mark
	apart  bool   // it moves aside for one of another look in its place
	name   string // to be written beside it
}

// drawSpecimens draws the marks of each look: first their areas, then all their edges, so that every specimen of a
// crowd shows. A specimen at the very place of another is a ring around it.
func (s *sheet) drawSpecimens(c draw.Canvas, all []specimen) {
	most := page.Grey
	for _, m := range all {
		most = max(most, m.look)
	}
	kinds := most - page.Grey + 1
	byLook := make([][]specimen, 2*kinds) // the faint ones of all looks first, to lie under the others
	for _, m := range all {
		k := m.look - page.Grey
		if !m.faint {
			k += kinds
		}
		byLook[k] = append(byLook[k], m)
	}
	r := s.radius(len(all))
	for k, marks := range byLook {
		look := k%kinds + page.Grey
		area, edge := colourOf(look), edgeOf(look)
		switch {
		case k >= kinds:
		case look == page.NoLook && len(s.panels) > 0:
			area, edge = towardsPaper(area, paleBehind), towardsPaper(edge, paleBehind)
		default:
			area, edge = towardsPaper(area, faintness), paleEdgeOf(look)
		}
		var areas, edges, hollow []vg.Path
		for i, m := range marks {
			s.heed()
			grown := min(vg.Length(m.hidden)*0.45, 2)
			outline := shapeOf(look)(s.onSheet(m.at), r*(1+grown))
			if m.aside {
				hollow = append(hollow, outline)
				continue
			}
			edges = gather(edges, outline, i)
			if m.hidden == 0 {
				areas = gather(areas, outline, i)
			}
		}
		s.fillMark(c, area, edge, r, areas, edges)
		c.SetLineStyle(draw.LineStyle{Color: lineOf(look), Width: vg.Points(2 * edgeWidth * s.scale)})
		for _, outline := range hollow {
			s.heed()
			c.Stroke(outline)
		}
	}
}

// handful is how many marks are drawn as one path: what takes a path to dots walks along all
// that it has in a row for each piece of outline.
const handful = 400

// gather adds the outline of mark i to the path of its handful.
func gather(paths []vg.Path, outline vg.Path, i int) []vg.Path {
	for len(paths) <= i/handful {
		paths = append(paths, nil)
	}
	last := len(paths) - 1
	paths[last] = append(paths[last], outline...)
	return paths
}

// fillMark draws marks of one look, all areas under all edges. The edges of marks smaller than usual are
// finer, or their colour would be lost.
func (s *sheet) fillMark(c draw.Canvas, area, edge color.NRGBA, r vg.Length, areas, edges []vg.Path) {
	c.SetColor(area)
	for _, p := range areas {
		s.heed()
		if len(p) > 0 {
			c.Fill(p)
		}
	}
	usual := vg.Points(markRadius * s.scale)
	c.SetLineStyle(draw.LineStyle{Color: edge, Width: vg.Points(edgeWidth*s.scale) * min(1, r/usual)})
	for _, p := range edges {
		s.heed()
		c.Stroke(p)
	}
}

// radius of the marks when n are drawn: the more, the smaller.
func (s *sheet) radius(n int) vg.Length {
	if s.mark > 0 {
		return s.mark
	}
	return vg.Points(max(leastMark, markRadius*s.scale*min(1, math.Sqrt(250/float64(max(n, 1))))))
}
