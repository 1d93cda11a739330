package gates

// Joint is one specimen as it was made, broken and written down.
type Joint struct {
	Name      string
	Day       int // index into the test days
	Board     string
	Oak       bool
	Density   float64 // kg/m3
	Thickness int     // mm
	Pins      int     // index into the pin patterns
	Store     bool    // glued in the warm store, else in the unheated shed
	Temp      float64 // degC while the glue cured
	Load      float64 // kgf
	Failure   string
	Unwritten map[string]bool // columns whose cell stayed empty
	Slipped   bool            // the load was written down ten times too large
}

// breaks draws the strength of the three places of a joint and tells the smallest.
func (t Truth) breaks(s source, j Joint, board float64) (load float64, failure string) {
	own := t.PinsAdd[j.Pins] + t.DayAdds[j.Day] + board
	own += float64(t.DensitySlope * (j.Density - t.MeanDensity))
	if j.Thickness == 44 {
		own += t.ThicknessAdd
	}
	if j.Oak {
		own += t.OakAdds
	}
	place, temp := 0.0, t.ShedTemp
	if j.Store {
		place, temp = t.StoreAdds, t.StoreTemp
	}
	own += float64(t.DegreeAdds * (j.Temp - temp))
	own += s.bell(0, t.JointSD)

	load, failure = own+t.GlueInShed+place+s.bell(0, t.PlaceSD), "glue"
	if wood := own + t.Wood + s.bell(0, t.PlaceSD); wood < load {
		load, failure = wood, "wood"
	}
	if pin := own + t.Pin + s.bell(0, t.PlaceSD); j.Pins > 0 && pin < load {
		load, failure = pin, "pin"
	}
	return load, failure
}

// Expected is the expected breaking load of a joint with the given pins and place, at
// MeanDensity and on an average board: the mean of many joints, good to about 0.1 kgf.
func (t Truth) Expected(pins int, store bool) float64 {
	const many = 60000
	s := newSource(uint64(pins)+1, 77)
	j := Joint{Density: t.MeanDensity, Thickness: 34, Pins: pins, Store: store, Temp: t.ShedTemp}
	if store {
		j.Temp = t.StoreTemp
	}
	sum := 0.0
	for range many {
		load, _ := t.breaks(s, j, s.bell(0, t.BoardSD))
		sum += load
	}
	return sum / many
}
