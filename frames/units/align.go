package units

// Align spells b with a's units wherever both hold a unit of the same thing: beside
// kgf/mm2, cm2 is mm2. What a does not hold stays as it is, and so do temperatures.
// The result measures what b does.
func Align(a, b Unit) Unit {
	fs := b.factors()
	for i, f := range fs {
		if f.atom.zero != nil {
			continue
		}
		for _, g := range a.factors() {
			if g.atom.measures == f.atom.measures {
				fs[i].atom = g.atom
				break
			}
		}
	}
	if len(fs) == 0 {
		return b
	}
	return fs.unit()
}
