package figures

import (
	"math"

	"gonum.org/v1/plot/vg"

	"breakbook/repl/page"
)

// shape gives the outline of a mark of radius r around a point, one closed path.
type shape func(at vg.Point, r vg.Length) vg.Path

// shapes belong to looks in this order. All cover about the same area, so that no
// level looks heavier than another, and none can hide behind another in one place.
var shapes = []shape{
	circle,
	polygon(3, math.Pi/2, 1.5), // triangle
	diamond,
	square,
	cross(0),                      // upright cross
	polygon(3, -math.Pi/2, 1.5),   // triangle on its tip
	cross(math.Pi / 4),            // slanted cross
	polygon(5, math.Pi/2, 1.2),    // pentagon
	star,                          // star of five points
	polygon(6, 0, 1.12),           // hexagon
	bar(1.6, 0.55),                // lying bar
	bar(0.55, 1.6),                // standing bar
	polygon(3, 0, 1.5),            // triangle to the right
	polygon(3, math.Pi, 1.5),      // triangle to the left
	polygon(4, math.Pi/8*3, 1.25), // tilted square
}

// The shapes that answers have too.
var (
	square  = polygon(4, math.Pi/4, 1.25)
	diamond = polygon(4, 0, 1.35)
)

// shapeOf is the shape of a look; marks of no level are circles, grey ones lying bars.
func shapeOf(look int) shape {
	switch look {
	case page.NoLook:
		return circle
	case page.Grey:
		return bar(1.6, 0.55)
	}
	return shapes[look%len(shapes)]
}

// circle is a full circle.
func circle(at vg.Point, r vg.Length) vg.Path {
	var p vg.Path
	p.Move(vg.Point{X: at.X + r, Y: at.Y})
	p.Arc(at, r, 0, 2*math.Pi)
	p.Close()
	return p
}

// closed joins corners, given as a radius and an angle each.
func closed(at vg.Point, radii []vg.Length, angles []float64) vg.Path {
	var p vg.Path
	for i, r := range radii {
		sin, cos := math.Sincos(angles[i])
		q := vg.Point{X: at.X + r*vg.Length(cos), Y: at.Y + r*vg.Length(sin)}
		if i == 0 {
			p.Move(q)
		} else {
			p.Line(q)
		}
	}
	p.Close()
	return p
}

// polygon has n corners, the first at an angle, grow radii from the middle.
func polygon(n int, first, grow float64) shape {
	return func(at vg.Point, r vg.Length) vg.Path {
		radii, angles := make([]vg.Length, n), make([]float64, n)
		for i := range n {
			radii[i], angles[i] = r*vg.Length(grow), first+2*math.Pi*float64(i)/float64(n)
		}
		return closed(at, radii, angles)
	}
}

// star has five points.
func star(at vg.Point, r vg.Length) vg.Path {
	radii, angles := make([]vg.Length, 10), make([]float64, 10)
	for i := range 10 {
		radii[i], angles[i] = r*1.65, math.Pi/2+math.Pi*float64(i)/5
		if i%2 == 1 {
			radii[i] = r * 0.7
		}
	}
	return closed(at, radii, angles)
}

// cross has four thick arms, turned by an angle.
func cross(turn float64) shape {
	const long, thick = 1.45, 0.45
	reach, lean := math.Hypot(long, thick), math.Atan2(thick, long)
	return func(at vg.Point, r vg.Length) vg.Path {
		var radii []vg.Length
		var angles []float64
		for i := range 4 {
			a := turn + math.Pi/2*float64(i)
			radii = append(radii, r*vg.Length(reach), r*vg.Length(reach), r*vg.Length(thick*math.Sqrt2))
			angles = append(angles, a-lean, a+lean, a+math.Pi/4)
		}
		return closed(at, radii, angles)
	}
}

// bar is a rectangle of half width w and half height h radii.
func bar(w, h float64) shape {
	reach, lean := vg.Length(math.Hypot(w, h)), math.Atan2(h, w)
	return func(at vg.Point, r vg.Length) vg.Path {
		d := r * reach
		return closed(at, []vg.Length{d, d, d, d}, []float64{lean, math.Pi - lean, math.Pi + lean, -lean})
	}
}

// rootOf is the square root of x, 0 for what is below.
func rootOf(x float64) float64 { return math.Sqrt(max(x, 0)) }
