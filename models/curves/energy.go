package curves

const spent = 0.20 // of the largest load: a fall below it ends the total energy

// energy records the areas under the curve by the trapezium rule, from the first reading:
// to the largest load, and to the last reading or where the load falls below a fifth of
// the largest (that crossing lies on the straight piece between two readings).
func (m *Measures) energy(c *curve) {
	area := 0.
	for i := 1; i <= c.top; i++ {
		area += c.piece(i)
	}
	m.set(EnergyToMax, area)
	m.Marks.StillCarrying = true
	for i := c.top + 1; i < len(c.load); i++ {
		if end := spent * c.most; c.load[i] < end {
			x := c.crossing(i, end)
			area += (x - c.slip[i-1]) * (c.load[i-1] + end) / 2
			m.Marks.StillCarrying = false
			break
		}
		area += c.piece(i)
	}
	m.set(EnergyTotal, area)
}

// piece is the area under the piece that ends at reading i.
func (p path) piece(i int) float64 {
	return (p.slip[i] - p.slip[i-1]) * (p.load[i-1] + p.load[i]) / 2
}
