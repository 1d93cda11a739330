package figures

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"breakbook/repl/page"
	"breakbook/repl/render"
)

// Where more specimens are on a figure than mostMarks, they are counted in cells, and drawn singly only
// in cells of no more than fewInCell.
const (
	mostMarks = 5000
	fewInCell = 3
	cellSize  = 4.0 // points
	seam      = 0.2 // points that a cell goes on under the next, or a line of paper would show
)

// cell is a stretch of the frame with the specimens in it.
type cell struct {
	at     vg.Rectangle
	look   int     // of most of them
	amount float64 // of the fullest cell
}

// crowded reports whether the specimens are too many to be drawn one by one.
func (s *sheet) crowded() bool { return s.specimens() > mostMarks }

// specimens is how many there are on the figure.
func (s *sheet) specimens() int {
	n := 0
	for _, p := range only[page.Points](s.figure.Layers) {
		n += len(p.X)
	}
	return n
}

// crowdNote says what the cells show; "" where there are none.
func (s *sheet) crowdNote() string {
	if !s.crowded() {
		return ""
	}
	what, end := "the darker, the more of the ", " "+s.crowdOf()
	switch {
	case len(s.figure.X.Levels) > 0:
		what = "the wider, the more of the "
	case len(s.figure.Keys) > 0:
		end += ", in the colour of the level that most have"
	}
	return render.Sentence(page.Say(what, s.specimens(), end+"; marks: those with few beside them"), render.Options{})
}

// crowdOf is what the marks of the figure are.
func (s *sheet) crowdOf() string {
	for _, p := range only[page.Points](s.figure.Layers) {
		if p.Of != "" {
			return p.Of
		}
	}
	return "specimens"
}

// grid is the frame cut into cells.
type grid struct {
	frame      vg.Rectangle
	across, up int
	wide, high vg.Length
	counts     []int32
	looks      map[int][]int32 // of each look seen, how many are in each cell
	order      []int           // the looks as they were seen
	byLevel    bool
}

// newGrid cuts the frame into cells: of levels one across each.
func (s *sheet) newGrid() *grid {
	g := &grid{frame: s.frame(), byLevel: len(s.figure.X.Levels) > 0, looks: map[int][]int32{}}
	size := vg.Points(cellSize * s.scale)
	d := g.frame.Size()
	g.across, g.up = max(1, int(d.X/size)), max(1, int(d.Y/size))
	if g.byLevel {
		g.across = len(s.figure.X.Levels)
	}
	g.wide, g.high = d.X/vg.Length(g.across), d.Y/vg.Length(g.up)
	g.counts = make([]int32, g.across*g.up)
	return g
}

// cellAt is the cell of a place.
func (g *grid) cellAt(p vg.Point) int {
	i := min(g.across-1, max(0, int((p.X-g.frame.Min.X)/g.wide)))
	j := min(g.up-1, max(0, int((p.Y-g.frame.Min.Y)/g.high)))
	return j*g.across + i
}

// add counts a specimen.
func (g *grid) add(p vg.Point, look int) {
	c := g.cellAt(p)
	g.counts[c]++
	if g.looks[look] == nil {
		g.looks[look] = make([]int32, len(g.counts))
		g.order = append(g.order, look)
	}
	g.looks[look][c]++
}

// cells are those that hold more than a few.
func (g *grid) cells() []cell {
	most := float64(slices.Max(g.counts))
	var out []cell
	for c, n := range g.counts {
		if n <= fewInCell {
			continue
		}
		best := g.order[0]
		for _, look := range g.order {
			if g.looks[look][c] > g.looks[best][c] {
				best = look
			}
		}
		i, j := vg.Length(c%g.across), vg.Length(c/g.across)
		at := vg.Rectangle{Min: vg.Point{X: g.frame.Min.X + i*g.wide, Y: g.frame.Min.Y + j*g.high}}
		at.Max = vg.Point{X: at.Min.X + g.wide, Y: at.Min.Y + g.high}
		amount := float64(n) / most
		if g.byLevel {
			aside := g.wide * vg.Length(1-0.85*amount) / 2
			at.Min.X, at.Max.X = at.Min.X+aside, at.Max.X-aside
		}
		out = append(out, cell{at: at, look: best, amount: amount})
	}
	return out
}

// thin counts the specimens in cells and gives those that are drawn singly, with their places across.
func (s *sheet) thin() (cells []cell, few []specimen, xs []float64) {
	g := s.newGrid()
	s.eachSpecimen(func(m specimen, _ float64) { g.add(m.at, m.look) })
	s.eachSpecimen(func(m specimen, x float64) {
		if g.counts[g.cellAt(m.at)] <= fewInCell {
			few, xs = append(few, m), append(xs, x)
		}
	})
	return g.cells(), few, xs
}

// eachSpecimen visits the specimens at their places, those of a level in its middle.
func (s *sheet) eachSpecimen(visit func(m specimen, x float64)) {
	f := s.frame()
	perX := (f.Max.X - f.Min.X) / vg.Length(s.x.hi-s.x.lo)
	perY := (f.Max.Y - f.Min.Y) / vg.Length(s.y.hi-s.y.lo)
	byX, byY := math.Pow(10, float64(s.x.power)), math.Pow(10, float64(s.y.power))
	for _, p := range only[page.Points](s.figure.Layers) {
		for i, x := range p.X {
			if i&0x3FF == 0 {
				s.heed()
			}
			m := specimen{faint: p.Faint, aside: p.Aside, apart: p.Apart}
			m.at.X = f.Min.X + perX*vg.Length((x-s.x.offset)/byX-s.x.lo)
			m.at.Y = f.Min.Y + perY*vg.Length((p.Y[i]-s.y.offset)/byY-s.y.lo)
			if p.Looks != nil {
				m.look = p.Looks[i]
			}
			if i < len(p.Names) && slices.Contains(p.Odd, i) {
				m.name = p.Names[i]
			}
			visit(m, x)
		}
	}
}

// drawCells shades the cells, each with the shade of the look that most in it have: the darker the more of
// them, and of levels the wider.
func (s *sheet) drawCells(c draw.Canvas, cells []cell) {
	for _, one := range cells {
		s.heed()
		strength := 0.12 + 0.88*math.Sqrt(one.amount)
		if len(s.figure.X.Levels) > 0 {
			strength = 0.6
		}
		r := one.at
		r.Max.Y += seam
		if len(s.figure.X.Levels) == 0 {
			r.Max.X += seam
		}
		c.FillPolygon(color.NRGBA(towardsPaper(lineOf(one.look), strength)),
			s.lineOnSheet(r.Min, vg.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, vg.Point{X: r.Min.X, Y: r.Max.Y}))
	}
}
