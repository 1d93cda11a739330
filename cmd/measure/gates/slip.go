package gates

// Reading is one line of a slip log.
type Reading struct{ Slip, Load float64 } // mm, kgf

// curve is the load-slip log of a joint: a toe while the joint beds in, a straight
// line up to six tenths of its breaking load, a rounded top, a drop, and, where there
// are pins, what they still carry while they bend.
func (t Truth) curve(j Joint, s source) []Reading {
	k := s.bell(t.StiffnessKgfPerMM[j.Pins], 8)
	toe := s.between(0.10, 0.25)
	straightEnd := toe + (0.6*j.Load-0.5*k*toe)/k
	width := 0.8 * j.Load / k // over which a parabola flattens from slope k
	top := toStep(straightEnd+width, 100)

	var log []Reading
	keep := func(slip, load float64) {
		load = toStep(load+s.between(-t.SlipNoise, t.SlipNoise), 10)
		log = append(log, Reading{toStep(slip, 100), min(max(load, 0), j.Load)})
	}
	for slip := 0.0; slip < top; slip += 0.1 {
		switch {
		case slip < toe:
			keep(slip, float64(0.5*k*slip)*slip/toe)
		case slip < straightEnd:
			keep(slip, float64(k*(slip-toe/2)))
		default:
			short := 1 - (slip-straightEnd)/width
			keep(slip, j.Load*(1-float64(0.4*short*short)))
		}
	}
	log = append(log, Reading{top, j.Load})
	for _, r := range fall(j) {
		keep(top+r.Slip, r.Load*j.Load)
	}
	return log
}

// fall is what follows the top: slip beyond it, and load as a share of the breaking load.
func fall(j Joint) []Reading {
	if j.Pins == 0 {
		return []Reading{{0.03, 0.18}, {0.1, 0.12}, {0.2, 0.09}, {0.4, 0.06}}
	}
	again := [4]float64{0, 0.64, 0.72, 0.76}[j.Pins]
	low, until, end := 0.56, 1.2, 3.2
	log := []Reading{{0.04, low}}
	for slip := 0.2; slip < end; slip += 0.2 {
		if slip < until {
			log = append(log, Reading{slip, low + float64((again-low)*slip/until)})
			continue
		}
		log = append(log, Reading{slip, again - float64((again-0.19)*(slip-until)/(end-until))})
	}
	return append(log, Reading{end, 0.18})
}
