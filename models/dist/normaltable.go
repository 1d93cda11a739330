package dist

import "math"

// normalTable gives chances and points of the normal distribution fast, to 1e-11 and 1e-8:
// from the nearest of many points by series.
type normalTable struct{ chances, density, points, sparse []float64 }

const (
	tableFar   = 8.5
	tableStep  = 1. / 32
	tableParts = 4096 // of the unit interval, for points
	tableEdge  = 100  // parts at either end that are left to the exact way
)

func newNormalTable() *normalTable {
	t := &normalTable{}
	for z := -tableFar; z <= tableFar; z += tableStep {
		t.chances = append(t.chances, NormalTail(-z))
		t.density = append(t.density, math.Exp(-z*z/2)/math.Sqrt(2*math.Pi))
	}
	for i := range tableParts + 1 {
		z := math.Sqrt2 * math.Erfinv(2*float64(i)/tableParts-1)
		t.points = append(t.points, z)
		t.sparse = append(t.sparse, math.Sqrt(2*math.Pi)*math.Exp(z*z/2)) // 1 over the density
	}
	return t
}

// below is the chance of a value below z.
func (t *normalTable) below(z float64) float64 {
	if !(z > -tableFar) {
		return 0
	}
	if z >= tableFar {
		return 1
	}
	at := int((z+tableFar)/tableStep + 0.5)
	a := float64(at)*tableStep - tableFar
	d := z - a
	return t.chances[at] + t.density[at]*d*(1-d*(a/2-d*((a*a-1)/6-d*a*(a*a-3)/24)))
}

// point is the z that a value is below with chance p, within ±8.2.
func (t *normalTable) point(p float64) float64 {
	at := int(p*tableParts + 0.5)
	if at < tableEdge || at > tableParts-tableEdge {
		const most = 1 - 2e-16
		return math.Sqrt2 * math.Erfinv(math.Max(-most, math.Min(most, 2*p-1)))
	}
	// With x = d/φ(z) the point is z + x + zx²/2 + (1+2z²)x³/6 + (7z+6z³)x⁴/24 + ….
	z := t.points[at]
	x := (p - float64(at)/tableParts) * t.sparse[at]
	return z + x*(1+x*(z/2+x*((1+2*z*z)/6+x*(7*z+6*z*z*z)/24)))
}
