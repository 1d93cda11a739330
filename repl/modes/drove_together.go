package modes

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"

	"breakbook/models/doubts"
	"breakbook/models/linear"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// modePair is two factors of which what the one does to the chance may depend on the other.
type modePair struct {
	a, b  *session.Factor
	mode  string
	odds  *modeOdds // with the combined term
	ended []bool    // each specimen in this way
	p     float64
}

// tryPairs fits the odds of a way of failing with the combined term of each pair of factors, where the
// specimens bear it.
func (d *modeDrivers) tryPairs(mode phrase.Is, codes []int, full *modeOdds, ended []bool) error {
	for i, b := range d.factors {
		for _, a := range d.factors[:i] {
			if err := d.k.Context.Err(); err != nil {
				return err
			}
			terms := d.terms()
			terms.List = append(terms.List, phrase.TermOf(a.Name, b.Name))
			o, err := d.odds(mode, codes, terms)
			var no *page.Problem
			switch {
			case errors.As(err, &no):
				continue // these terms cannot be told
			case err != nil:
				return err
			case o.N-len(o.kept) < session.ResidualDFFor(o.N) || len(o.kept) == len(full.kept):
				continue
			}
			p, err := o.without(d.k, a.Name, b.Name)
			if err != nil {
				return err
			}
			if !math.IsNaN(p) {
				d.pairs = append(d.pairs, &modePair{a, b, session.ModeName(mode), o, ended, p})
			}
		}
	}
	return nil
}

// settlePairs keeps of each way of failing the pair that is clearest, where it is clear (Holm over all that
// were tried) and moves the chance by what is worth having; its factors are told at each other's settings.
func (d *modeDrivers) settlePairs(all []*modeDriven) error {
	p := lists.Mapped(d.pairs, func(pair *modePair) float64 { return pair.p })
	for i, joined := range doubts.Holm(p) {
		d.pairs[i].p = joined
	}
	slices.SortStableFunc(d.pairs, func(a, b *modePair) int { return cmp.Compare(a.p, b.p) })
	var kept []*modePair
	for _, pair := range d.pairs {
		met := func(o *modePair) bool { return o.mode == pair.mode }
		if !(pair.p < doubts.Clear) || slices.ContainsFunc(kept, met) {
			continue
		}
		worth, err := d.settle(pair, all)
		if err != nil {
			return err
		}
		if worth {
			kept = append(kept, pair)
		}
	}
	d.pairs = kept
	return nil
}

// settle tells the two factors of a pair at each other's settings, with the shares of all factors by the fit
// that holds the pair, and reports whether the pair moves the chance by what is worth having.
func (d *modeDrivers) settle(p *modePair, all []*modeDriven) (bool, error) {
	of, moved, err := p.odds.atEach(d.k, p.a.Name, p.b.Name, p.b.Said())
	if err != nil {
		return false, err
	}
	worth, err := worthOfChance(d.k)
	if err != nil || moved < worth.Value || len(of) == 0 {
		return false, err
	}
	other, _, err := p.odds.atEach(d.k, p.b.Name, p.a.Name, p.a.Said())
	if err != nil || len(other) == 0 {
		return false, err
	}
	share := d.shareOut(p.odds, p.ended)
	for _, t := range all {
		if t.mode != p.mode {
			continue
		}
		t.Share = share(t.Name)
		switch t.Factor {
		case p.a:
			t.contrasts, t.pair = of, p
		case p.b:
			t.contrasts, t.pair = other, p
		default:
			continue
		}
		if t.P, err = p.odds.without(d.k, t.Name); err != nil {
			return false, err
		}
	}
	return true, nil
}

// atEach is what one factor does at each setting of another, the clearest of each setting and these the
// clearest first, and how far the chance moves more at one setting than at another.
func (o *modeOdds) atEach(k *session.Call, factor, other, said string) (out []contrast, moved float64, err error) {
	worth, err := worthOfChance(k)
	if err != nil {
		return nil, 0, err
	}
	columns := o.Place.Columns()
	a, b := slices.Index(columns, factor), slices.Index(columns, other)
	settings := o.designPoints(b)
	apart := map[string][2]float64{} // of two points, the least and the most that the chance moves between them
	for _, s := range settings {
		points := o.within(a, b, s)
		of := len(points) * (len(points) - 1) / 2 * len(settings)
		var here []contrast
		for i := range points {
			for j := range i {
				c, ok, err := o.contrast(k, 1, points[j], points[i], of, worth, k.Confidence())
				if err != nil {
					return nil, 0, err
				}
				if !ok {
					continue
				}
				first, second := c.points[0].name, c.points[1].name
				c.names = [2]page.Sentence{c.said.First, c.said.Second}
				c.said.Family = "adjusted for comparing all pairs at each " + said
				c.setKey(columns[a] + ": " + first + ", " + second + "; " + o.names[1])
				here = append(here, c)
				by, pair := c.said.Chances[1]-c.said.Chances[0], withoutSetting(first)+", "+withoutSetting(second)
				r, met := apart[pair]
				if !met {
					r = [2]float64{by, by}
				}
				r = [2]float64{min(r[0], by), max(r[1], by)}
				apart[pair], moved = r, max(moved, r[1]-r[0])
			}
		}
		if len(here) == 0 {
			return nil, 0, nil
		}
		out = append(out, slices.MaxFunc(here, func(x, y contrast) int { return cmp.Compare(x.clear, y.clear) }))
	}
	slices.SortStableFunc(out, func(x, y contrast) int { return cmp.Compare(y.clear, x.clear) })
	return out, moved, nil
}

// withoutSetting is the name of a point without its setting.
func withoutSetting(name string) string {
	point, _, _ := strings.Cut(name, ", ")
	return point
}

// within are the points of one variable at a setting of another.
func (o *modeOdds) within(of, at int, setting designPoint) []designPoint {
	p := linear.Point{Levels: map[int]int{}, Numbers: map[int]float64{}}
	put := func(variable int, d designPoint) {
		if d.level >= 0 {
			p.Levels[variable] = d.level
			return
		}
		p.Numbers[variable] = d.at
	}
	var out []designPoint
	for _, d := range o.designPoints(of) {
		put(at, setting)
		put(of, d)
		if row, ok := o.row(p); ok {
			d.name, d.said, d.row = d.name+", "+setting.said, d.said+" ("+setting.said+")", row
			out = append(out, d)
		}
	}
	return out
}
