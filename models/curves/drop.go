package curves

const (
	wonBackWithin = 0.01  // of slip_at_max
	toeShare      = tenth // of the largest load: below it a fall is of the toe, not of the joint
	clearOfNoise  = 6     // sds of one reading: a fall or rise that noise does not make
	hair          = 1e-9  // relative: what rounding may take from a fall of exactly the share asked for
)

// drop is the first drop: the reading it fell from and the one where it had fallen far enough.
type drop struct {
	found        bool
	peak, fallen int
}

// firstDrop finds the first fall of at least the given share below a running maximum that
// is not won back within the next stretch of slip (readings joined by straight pieces). A
// running maximum below a tenth of the largest load is still the toe. A fall within six
// sds of the reading noise is no fall: neither at one reading nor in the mean of that
// stretch. No standard has this figure: it is common
// practice for glued joints whose line cracks before the joint gives way, no source.
func (c *curve) firstDrop(share, within float64) drop {
	peak := 0
	for i := 1; i < len(c.load); i++ {
		if c.load[i] >= c.load[peak] {
			peak = i
			continue
		}
		most := c.load[peak]
		fall := most - c.load[i]
		if most < toeShare*c.most || fall < share*most*(1-hair) || fall < clearOfNoise*c.noise {
			continue
		}
		back := c.wonBack(i, most, c.slip[i]+within)
		switch {
		case back >= 0:
			i = back - 1 // everything up to there was below the peak, and won back there too
		case c.noise == 0 || most-c.meanFrom(i, c.slip[i]+within) >= clearOfNoise*c.noise:
			return drop{found: true, peak: peak, fallen: i}
		}
	}
	return drop{}
}

// wholeUntil is the last reading before the joint first drops, or of the curve. Where the
// fall takes no more than the stretch of slip it is not won back in, it is sudden, and the
// readings caught on the way down do not count.
func (c *curve) wholeUntil(d drop, within float64) int {
	switch {
	case !d.found:
		return len(c.load) - 1
	case c.slip[d.fallen]-c.slip[d.peak] <= within:
		return d.peak
	default:
		return d.fallen - 1
	}
}

// meanFrom is the mean load of the readings from i to slip end.
func (c *curve) meanFrom(i int, end float64) float64 {
	sum, n := 0., 0.
	for j := i; j < len(c.load) && (j == i || c.slip[j] <= end); j++ {
		sum += c.load[j]
		n++
	}
	return sum / n
}

// wonBack is the first reading after i that has the load again, if the curve gets there by
// slip end; else -1.
func (c *curve) wonBack(i int, load, end float64) int {
	for j := i + 1; j < len(c.load); j++ {
		if c.load[j] >= load {
			if c.slip[j] <= end || c.crossing(j, load) <= end {
				return j
			}
			return -1
		}
		if c.slip[j] > end {
			return -1
		}
	}
	return -1
}

// drop records the first drop and what the joint carries after it. The trough is the
// lowest reading before the load climbs by the same share of the load it dropped from, or,
// where it never does, the lowest of all that follow; load_after_drop is the largest load after it.
func (m *Measures) drop(c *curve, d drop, share float64) {
	if !d.found {
		m.Why[FirstDropLoad], m.Why[LoadAfterDrop] = NeverDrops, NeverDrops
		return
	}
	before := c.load[d.peak]
	m.set(FirstDropLoad, before)
	m.Marks.DropSlip = c.slip[d.peak]
	climb := max(share*before*(1-hair), clearOfNoise*c.noise)
	trough := d.fallen
	for i := trough + 1; i < len(c.load) && c.load[i]-c.load[trough] < climb; i++ {
		if c.load[i] < c.load[trough] {
			trough = i
		}
	}
	m.Marks.TroughSlip = c.slip[trough]
	if trough == len(c.load)-1 {
		m.Why[LoadAfterDrop] = NothingAfter
		return
	}
	after := c.load[trough+1]
	for _, v := range c.load[trough+1:] {
		after = max(after, v)
	}
	m.set(LoadAfterDrop, after)
}
